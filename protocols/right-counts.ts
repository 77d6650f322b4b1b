import type { AudienceId, ListenerId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { binomialTest } from '../stats/binomial-test';
import { groupBy } from './groups';
import type { Outcome } from './protocol';
import type { DifferenceDetail } from './results';

/** Right answers, counted. */

/** What came from one audience. */
export interface Answered {
  id: AudienceId;
  planned: number;
  outcomes: readonly Outcome[];
  correct: number;
  trials: number;
}

/** What came from each audience of the plan, in its order. */
export function answeredIn(outcomes: readonly Outcome[], plan: Plan): Answered[] {
  return plan.audiences.map(({ id, listeners }) => {
    const own = outcomes.filter(({ audience }) => audience === id);
    return { id: id as AudienceId, planned: listeners, outcomes: own, correct: rightsOf(own), trials: own.length };
  });
}

function rightsOf(outcomes: readonly Outcome[]): number {
  let rights = 0;
  for (const { value } of outcomes) if (value === 1) rights++;
  return rights;
}

/** The exact chance of so many right answers or more by guessing. */
export function guessed(correct: number, trials: number, chance: number): number {
  const key = `${correct} ${trials} ${chance}`;
  const known = remembered.get(key);
  if (known !== undefined) return known;
  const { p } = binomialTest({ correct, trials, chance });
  if (remembered.size >= most) remembered.clear();
  remembered.set(key, p);
  return p;
}

/** Simulated panels come to the same few counts again and again. */
const remembered = new Map<string, number>();
const most = 10_000;

/** One entry a listener, by id, each with the sessions in their order. */
export function listenersOf(outcomes: readonly Outcome[]): DifferenceDetail['listeners'] {
  const count = (own: readonly Outcome[]) => ({ correct: rightsOf(own), trials: own.length });
  return [...groupBy(outcomes, ({ listener }) => listener)]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([listener, own]: [ListenerId, Outcome[]]) => ({
      listener,
      ...count(own),
      sessions: [...groupBy(own, ({ sessionNumber }) => sessionNumber)]
        .sort(([a], [b]) => a - b)
        .map(([sessionNumber, theirs]) => ({ sessionNumber, ...count(theirs) })),
    }));
}

/** Right answers of each listener, in no order that matters. */
export function countsOf(outcomes: readonly Outcome[]): { correct: number; trials: number }[] {
  const counts = new Map<ListenerId, { correct: number; trials: number }>();
  for (const { listener, value } of outcomes) {
    const own = counts.get(listener) ?? { correct: 0, trials: 0 };
    if (own.trials === 0) counts.set(listener, own);
    own.trials++;
    if (value === 1) own.correct++;
  }
  return [...counts.values()];
}
