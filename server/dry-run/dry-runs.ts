import type { StudyId } from '../../shared/brands';
import type { DryRun } from '../../shared/dry-run';
import type { Plan } from '../../shared/plan';
import type { TruthDocument } from '../../shared/truth';
import { answersOf } from '../rehearse';
import { Refusal } from '../web/refusal';
import type { Choice } from './choice';
import type { DryRunAsked, DryRunWatch } from './dry-run';

/** Whoever plays dry runs: threads, or a stand-in of a test. */
export type PlaysDryRun = (asked: DryRunAsked, watch: Omit<DryRunWatch, 'threads'>) => Promise<DryRun>;

/** A dry run that is being played, or how the last one of a study ended. */
export interface DryRunOfStudy {
  study: StudyId;
  plan: Plan;
  /** As it was chosen on the page. */
  choice: Choice;
  truth: TruthDocument;
  panels: number;
  begun: Date;
  played: number;
  state: 'playing' | 'played' | 'stopped' | 'failed';
  found: DryRun | null;
}

/** So many dry runs that are over can still be looked at. */
const kept = 10;
/** Answers that are played in one go at most, in one panel and in all: some minutes on one core. */
export const most = { answers: 20_000, inAll: 100_000_000 } as const;
/** The same plan and truth give the same figures each time somebody looks. */
const seed = 1;

/** Plays one dry run at a time. All of it is in memory: nothing here is data, and a restart forgets it. */
export class DryRuns {
  private readonly last = new Map<StudyId, DryRunOfStudy>();
  private playing: { run: DryRunOfStudy; stop: AbortController; over: Promise<void> } | null = null;

  constructor(
    private readonly dryRun: PlaysDryRun,
    private readonly now: () => Date,
    /** Hears what went wrong. */
    private readonly failed: (error: unknown) => void,
  ) {}

  /** The dry run of a study that is being played, or was last. */
  of(study: StudyId): DryRunOfStudy | null {
    return this.last.get(study) ?? null;
  }

  /** @throws Refusal when another one is being played, or this one would take too long */
  begin(study: StudyId, plan: Plan, choice: Choice, truth: TruthDocument, panels: number): void {
    if (this.playing) {
      const { run } = this.playing;
      throw new Refusal(
        'conflict',
        `A dry run of “${run.plan.title}” is being played, and there is one at a time. Wait for it, or stop it.`,
        { path: 'truth', next: { label: 'Look at it', url: `/studies/${run.study}/dry-run` } },
      );
    }
    const answers = answersOf(plan);
    const allowed = Math.min(most.answers, Math.floor(most.inAll / panels));
    if (answers > allowed) {
      throw new Refusal(
        'bad-input',
        `This plan takes ${answers} answers, and ${panels} panels may give at most ${allowed} each. Take fewer panels, or play it by the command dry-run.`,
        { path: 'panels', allowed: `at most ${allowed} answers`, got: String(answers) },
      );
    }
    const run: DryRunOfStudy = {
      study,
      plan,
      choice,
      truth,
      panels,
      begun: this.now(),
      played: 0,
      state: 'playing',
      found: null,
    };
    const stop = new AbortController();
    this.last.delete(study);
    this.last.set(study, run);
    if (this.last.size > kept) this.last.delete([...this.last.keys()][0] as StudyId);
    this.playing = { run, stop, over: this.play(run, stop.signal) };
  }

  private async play(run: DryRunOfStudy, signal: AbortSignal): Promise<void> {
    try {
      const { plan, truth, panels } = run;
      run.found = await this.dryRun(
        { plan, truth, panels, seed },
        {
          signal,
          progress: (played) => {
            run.played = played;
          },
        },
      );
      run.state = 'played';
    } catch (error) {
      run.state = signal.aborted ? 'stopped' : 'failed';
      if (!signal.aborted) this.failed(error);
    } finally {
      this.playing = null;
    }
  }

  /** Ends the dry run of this study, if it is being played, and waits until its threads are gone. */
  async stop(study: StudyId): Promise<void> {
    if (this.playing?.run.study === study) await this.close();
  }

  /** Ends whatever is being played. */
  async close(): Promise<void> {
    const { playing } = this;
    playing?.stop.abort();
    await playing?.over;
  }
}
