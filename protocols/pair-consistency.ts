import type { ListenerId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { circularTriads } from '../stats/circular-triads';
import type { Outcome } from './protocol';
import type { Consistency } from './results';

/**
 * How each listener agrees with himself or herself: pairs that were put more than once and always answered alike, and
 * circular triads (A over B over C over A) where each pair has a preference by majority.
 * @returns one entry a listener, in order of listener id; triads are null where a pair has no majority or fewer than
 * three prototypes were compared
 */
export function consistencyOf(outcomes: readonly Outcome[], plan: Plan): Consistency[] {
  const ids = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
  const byListener = new Map<ListenerId, Outcome[]>();
  for (const outcome of outcomes) {
    byListener.set(outcome.listener, [...(byListener.get(outcome.listener) ?? []), outcome]);
  }
  return [...byListener.entries()]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([listener, own]) => ({ listener, ...repeatsOf(own), circularTriads: triadsOf(own, ids) }));
}

/** For each pair, the answers of one listener as seen from the lower id: +1, −1 or 0. */
function byPair(own: readonly Outcome[]): Map<string, number[]> {
  const pairs = new Map<string, number[]>();
  for (const { prototypes, value } of own) {
    const [a, b] = prototypes as [PrototypeId, PrototypeId];
    const key = a < b ? `${a}|${b}` : `${b}|${a}`;
    pairs.set(key, [...(pairs.get(key) ?? []), a < b ? value : -value]);
  }
  return pairs;
}

function repeatsOf(own: readonly Outcome[]): { repeatedPairs: number; repeatedAlike: number } {
  const repeated = [...byPair(own).values()].filter((values) => values.length > 1 && !values.includes(0));
  const alike = repeated.filter((values) => values.every((value) => value === values[0]));
  return { repeatedPairs: repeated.length, repeatedAlike: alike.length };
}

function triadsOf(own: readonly Outcome[], ids: readonly PrototypeId[]): Consistency['circularTriads'] {
  if (ids.length < 3) return null;
  const pairs = byPair(own);
  const preferences = ids.map(() => ids.map(() => 0));
  for (let i = 0; i < ids.length; i++) {
    for (let j = i + 1; j < ids.length; j++) {
      const [a, b] = [ids[i] as PrototypeId, ids[j] as PrototypeId];
      const sum = (pairs.get(a < b ? `${a}|${b}` : `${b}|${a}`) ?? []).reduce((total, value) => total + value, 0);
      if (sum === 0) return null;
      const firstWins = a < b ? sum > 0 : sum < 0;
      const [winner, loser] = firstWins ? [i, j] : [j, i];
      (preferences[winner] as number[])[loser] = 1;
    }
  }
  const { triads, maximum, p } = circularTriads({ preferences });
  return { triads, maximum, p };
}
