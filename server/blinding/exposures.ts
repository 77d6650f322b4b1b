import type { ListenerId, PrototypeId } from '../../shared/brands';
import type { StudyStory } from './story';
import type { TrialStory } from './trial-story';

/** How often each listener has heard each prototype, counted on in the order of the ledger. */
export class Exposures {
  private readonly heard = new Map<string, number>();
  private readonly declared: StudyStory['declared'];

  constructor(story: Pick<StudyStory, 'declared'>) {
    this.declared = [...story.declared];
  }

  /** Counts one trial. Answers with the hearings of each of its samples by its end, this trial included. */
  after(listener: ListenerId, trial: TrialStory, presentations: readonly PrototypeId[]): number[] {
    const now = trial.heardSeq ?? Number.POSITIVE_INFINITY;
    // What was declared before this trial counts from here on.
    for (const [index, one] of [...this.declared.entries()].reverse()) {
      if (one.listener !== listener || one.seq > now || trial.heardSeq === null) continue;
      this.add(listener, one.prototype, one.times);
      this.declared.splice(index, 1);
    }
    for (const [place, prototype] of presentations.entries()) this.add(listener, prototype, trial.heard[place] ?? 0);
    if (trial.broughtExposures) return trial.broughtExposures;
    return presentations.map((prototype) => this.of(listener, prototype));
  }

  of(listener: ListenerId, prototype: PrototypeId): number {
    return this.heard.get(`${listener} ${prototype}`) ?? 0;
  }

  private add(listener: ListenerId, prototype: PrototypeId, times: number): void {
    this.heard.set(`${listener} ${prototype}`, this.of(listener, prototype) + times);
  }
}
