import type { ListenerId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Outcome } from './protocol';

/** One ranking: which prototypes, by place in the plan, and where each came, 1 being the best. */
export interface OneRanking {
  items: number[];
  ranks: number[];
}

/** What one listener ranked over all sittings. */
export interface OwnRankings {
  listener: ListenerId;
  rankings: OneRanking[];
  /**
   * By place in the plan: mean over the listener's rankings of twice the deviation from the middle rank, negative where
   * it came ahead; 0 in rankings without it, null where it was in none. Sums to zero.
   */
  deviations: (number | null)[];
}

/**
 * The rankings of one audience, by listener. Listeners come in the order of what they said, so that names and order of
 * arrival move no digit.
 */
export function ownRankings(outcomes: readonly Outcome[], plan: Plan): OwnRankings[] {
  const placeOf = new Map(plan.prototypes.map(({ id }, i) => [id as string, i]));
  const byListener = new Map<ListenerId, Map<string, OneRanking>>();
  for (const { listener, trial, prototypes, place, value } of outcomes) {
    const own = byListener.get(listener) ?? new Map<string, OneRanking>();
    byListener.set(listener, own);
    const ranking = own.get(trial) ?? { items: [], ranks: [] };
    own.set(trial, ranking);
    ranking.items.push(placeOf.get(prototypes[place ?? -1] as string) as number);
    ranking.ranks.push(value);
  }
  return [...byListener]
    .map(([listener, own]) => {
      const rankings = [...own.values()];
      return { listener, rankings, deviations: deviationsOf(rankings, plan.prototypes.length) };
    })
    .sort((a, b) => inOrder(a.deviations, b.deviations) || a.rankings.length - b.rankings.length);
}

function deviationsOf(rankings: readonly OneRanking[], items: number): (number | null)[] {
  const sums: (number | null)[] = Array.from({ length: items }, () => null);
  for (const { items: own, ranks } of rankings) {
    own.forEach((item, i) => {
      sums[item] = (sums[item] ?? 0) + 2 * (ranks[i] as number) - (own.length + 1);
    });
  }
  return sums.map((sum) => sum && sum / rankings.length);
}

function inOrder(a: readonly (number | null)[], b: readonly (number | null)[]): number {
  for (let i = 0; i < a.length; i++) {
    const apart = (a[i] ?? 0) - (b[i] ?? 0);
    if (apart !== 0) return apart;
  }
  return 0;
}
