import { binomialCdf, binomialPmf } from './distributions';

/** Listeners who answered equally often. */
export interface AnsweredAlike {
  listeners: number;
  trials: number;
}

/** How many listeners answered how often, fewest answers first; who never answered is left out. */
export function answeredAlike(trials: readonly number[]): AnsweredAlike[] {
  const groups = new Map<number, number>();
  for (const own of trials) if (own > 0) groups.set(own, (groups.get(own) ?? 0) + 1);
  return [...groups].map(([own, listeners]) => ({ trials: own, listeners })).sort((a, b) => a.trials - b.trials);
}

/**
 * P(X ≤ most): right answers of a panel of which each listener, with probability `share`, hears the difference always and
 * else guesses throughout.
 *
 * Who hears is always right, so given how many answers those who hear gave, w, the rest is binomial:
 * P(X ≤ most) = Σ P(w)·P(Bin(all − w, chance) ≤ most − w). All terms are positive, so small tails keep their digits.
 * For trusted callers: whole numbers, probabilities from 0 to 1.
 */
export function heardBySomeCdf(most: number, groups: readonly AnsweredAlike[], chance: number, share: number): number {
  const all = groups.reduce((sum, { listeners, trials }) => sum + listeners * trials, 0);
  if (most < 0) return 0;
  if (most >= all) return 1;
  let sum = 0;
  for (const [heard, weight] of answersHeard(most, groups, share)) {
    sum += weight * binomialCdf(most - heard, all - heard, chance);
  }
  return Math.min(1, sum);
}

/** How many answers come from listeners who hear, up to `most`, each with its probability. */
function answersHeard(most: number, groups: readonly AnsweredAlike[], share: number): Map<number, number> {
  let sums = new Map([[0, 1]]);
  for (const { listeners, trials } of groups) {
    const next = new Map<number, number>();
    for (let k = 0; k <= listeners && k * trials <= most; k++) {
      const weight = binomialPmf(k, listeners, share);
      if (weight === 0) continue;
      for (const [heard, before] of sums) {
        const at = heard + k * trials;
        if (at <= most) next.set(at, (next.get(at) ?? 0) + before * weight);
      }
    }
    sums = next;
  }
  return sums;
}
