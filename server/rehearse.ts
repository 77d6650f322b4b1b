import { trialsOfSitting } from '../protocols/controls';
import { methodOf } from '../protocols/index';
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

/** Plays the plan and answers with the record, unsealed. @throws the reason of the signal when it was stopped */
export type Rehearse = (plan: Plan, truth: RehearsalTruth, watch: RehearsalWatch) => Promise<StudyRecord>;

/**
 * A rehearsal of more answers than this would take too long to wait for. So many of ABX, which is the longest to play,
 * took two and a half minutes on one of two cores.
 */
export const mostAnswers = 1_200;

/** Answers that a rehearsal of this plan takes, practice left out. */
export function answersOf(plan: Plan): number {
  const listeners = plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  return listeners * plan.sessions.count * trialsOfSitting(plan);
}

/** What is said when so many answers were played and the plan has more; null when it hasn't. */
export function unplayedWords(plan: Plan, answers: number): string | null {
  const planned = answersOf(plan);
  if (answers >= planned) return null;
  return `${planned - answers} of ${planned} planned answers could not be played: the span from first to last sitting was over before those listeners could come again. Allow more days.`;
}

/**
 * How large the effect is that there is to find, in the measure of the plan's smallest; 0 for nothing. On a scale two
 * prototypes lie no further apart than its ends.
 */
export function effectOf(plan: Plan, truth: RehearsalTruth): number {
  const { smallest } = plan.risks;
  if (truth === 'nothing') return 0;
  if (truth === 'smallest') return smallest.value;
  if (smallest.kind === 'd-prime') return Math.max(3, 2 * smallest.value);
  if (smallest.kind !== 'points') return Math.max(0.9, (1 + smallest.value) / 2);
  const widest = widestOf(plan);
  const plain = methodOf(plan).form.kind === 'grades' ? widest / 4 : 2;
  return Math.min(widest, Math.max(plain, 2 * smallest.value));
}

/** From end to end of the scale that the verdict rests on, in points as they are read. */
export function widestOf(plan: Plan): number {
  const { form } = methodOf(plan);
  const { scale: id } = plan.primary;
  if (form.kind === 'scales') return (form.scales.find((one) => one.id === id)?.points ?? noScale()) - 1;
  const scale = form.kind === 'grades' ? form.scales.find((one) => one.id === id) : undefined;
  return scale ? (scale.to - scale.from) / scale.per : noScale();
}

/** Names of the primary pair, the one first that a rehearsal makes the better: nothing is better than an open reference. */
export function betterFirst({ prototypes, primary, method }: Plan): [string, string] {
  const name = (id: string) => prototypes.find((one) => one.id === id)?.name ?? '';
  const { reference } = method.spec as { reference?: unknown };
  const pair: [string, string] = [name(primary.first), name(primary.second)];
  return primary.second === reference ? [pair[1], pair[0]] : pair;
}

const noScale = (): never => {
  throw new Error('The verdict rests on no scale of this plan.');
};
