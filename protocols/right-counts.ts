import type { ListenerId } from '../shared/brands';
import { binomialTest } from '../stats/binomial-test';
import type { Outcome } from './protocol';
import type { DifferenceDetail } from './results';

/** Right answers, counted. */

export function rightsOf(outcomes: readonly Outcome[]): number {
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
  return grouped(outcomes, ({ listener }) => listener)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([listener, own]: [ListenerId, Outcome[]]) => ({
      listener,
      ...count(own),
      sessions: grouped(own, ({ sessionNumber }) => sessionNumber)
        .sort(([a], [b]) => a - b)
        .map(([sessionNumber, theirs]) => ({ sessionNumber, ...count(theirs) })),
    }));
}

function grouped<K>(outcomes: readonly Outcome[], keyOf: (outcome: Outcome) => K): [K, Outcome[]][] {
  const groups = new Map<K, Outcome[]>();
  for (const outcome of outcomes) {
    const own = groups.get(keyOf(outcome));
    if (own) own.push(outcome);
    else groups.set(keyOf(outcome), [outcome]);
  }
  return [...groups];
}
