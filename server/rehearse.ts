import type { Plan } from '../shared/plan';
import type { StudyRecord } from '../shared/record';

/** Rehearsal: a plan played by simulated listeners in a server of its own. The house is handed who can do it. */

export const rehearsalTruths = ['nothing', 'smallest', 'plain'] as const;
/** What there is to hear: nothing, the smallest effect worth finding of the plan, or one that nobody could overlook. */
export type RehearsalTruth = (typeof rehearsalTruths)[number];

export interface RehearsalWatch {
  /** Ends it before its time. */
  signal?: AbortSignal;
  progress?(now: RehearsalProgress): void;
}

export interface RehearsalProgress {
  /** What is being done, in words. */
  doing: string;
  /** Answers so far, and in all. */
  answers: number;
  of: number;
}

/** Plays the plan and answers with the record, unsealed. @throws an AbortError when it was stopped. */
export type Rehearse = (plan: Plan, truth: RehearsalTruth, watch: RehearsalWatch) => Promise<StudyRecord>;
