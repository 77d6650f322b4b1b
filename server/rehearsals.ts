import type { StudyId } from '../shared/brands';
import type { Findings } from '../shared/findings';
import type { Plan } from '../shared/plan';
import type { StudyRecord } from '../shared/record';
import { answersOf, mostAnswers, type RehearsalProgress, type RehearsalTruth, type Rehearse } from './rehearse';
import { Refusal } from './web/refusal';

/** A rehearsal that is being played, or how the last one of a study ended. */
export interface Rehearsal {
  study: StudyId;
  plan: Plan;
  truth: RehearsalTruth;
  begun: Date;
  progress: RehearsalProgress;
  state: 'playing' | 'played' | 'stopped' | 'failed';
  /** What the answers say, worked out once; null until all is played. */
  found: Findings | null;
}

/** So many rehearsals that are over can still be looked at. */
const kept = 10;

/** Plays one rehearsal at a time. All of it is in memory: nothing here is data, and a restart forgets it. */
export class Rehearsals {
  private readonly last = new Map<StudyId, Rehearsal>();
  private playing: { rehearsal: Rehearsal; stop: AbortController; over: Promise<void> } | null = null;

  constructor(
    private readonly rehearse: Rehearse | undefined,
    private readonly findingsOf: (record: StudyRecord) => Findings,
    private readonly now: () => Date,
    /** Hears what went wrong. */
    private readonly failed: (error: unknown) => void,
  ) {}

  /** The rehearsal of a study that is being played, or was last. */
  of(study: StudyId): Rehearsal | null {
    return this.last.get(study) ?? null;
  }

  /** @throws Refusal when another one is being played, or this one would take too long */
  begin(study: StudyId, plan: Plan, truth: RehearsalTruth): void {
    if (!this.rehearse) throw new Refusal('not-found', 'This server has nobody to rehearse with.');
    if (this.playing) {
      const { rehearsal } = this.playing;
      throw new Refusal(
        'conflict',
        `A rehearsal of “${rehearsal.plan.title}” is being played, and there is one at a time. Wait for it, or stop it.`,
        { path: 'truth', next: { label: 'Look at it', url: `/studies/${rehearsal.study}/rehearsal` } },
      );
    }
    const answers = answersOf(plan);
    if (answers > mostAnswers) {
      throw new Refusal(
        'bad-input',
        `This plan takes ${answers} answers, and a rehearsal plays at most ${mostAnswers}. Try it with fewer sessions or listeners.`,
        { path: 'truth', allowed: `at most ${mostAnswers} answers`, got: String(answers) },
      );
    }
    const rehearsal: Rehearsal = {
      study,
      plan,
      truth,
      begun: this.now(),
      progress: { doing: 'Setting up', answers: 0, of: answers },
      state: 'playing',
      found: null,
    };
    const stop = new AbortController();
    this.last.delete(study);
    this.last.set(study, rehearsal);
    if (this.last.size > kept) this.last.delete([...this.last.keys()][0] as StudyId);
    this.playing = { rehearsal, stop, over: this.play(this.rehearse, rehearsal, stop.signal) };
  }

  private async play(rehearse: Rehearse, rehearsal: Rehearsal, signal: AbortSignal): Promise<void> {
    try {
      const record = await rehearse(rehearsal.plan, rehearsal.truth, {
        signal,
        progress: (now) => {
          rehearsal.progress = now;
        },
      });
      rehearsal.found = this.findingsOf(record);
      rehearsal.state = 'played';
    } catch (error) {
      rehearsal.state = signal.aborted ? 'stopped' : 'failed';
      if (!signal.aborted) this.failed(error);
    } finally {
      this.playing = null;
    }
  }

  /** Ends the rehearsal of this study, if it is being played, and waits until everything of it is gone. */
  async stop(study: StudyId): Promise<void> {
    if (this.playing?.rehearsal.study === study) await this.close();
  }

  /** Ends whatever is being played. */
  async close(): Promise<void> {
    const { playing } = this;
    playing?.stop.abort();
    await playing?.over;
  }
}
