import { type BlockRanks, blockRanks, residual } from './block-ranks';
import { choice, flag, matrix, options, probability } from './check';
import {
  normalQuantile,
  normalUpper,
  studentizedRangeUpper,
  studentizedRangeUpperQuantile,
  tQuantile,
  tUpper,
} from './distributions';
import { StatsError } from './errors';

export const rankDifferenceMethods = ['nemenyi', 'conover', 'lsd'] as const;
export type RankDifferenceMethod = (typeof rankDifferenceMethods)[number];

export interface RankDifferencesInput {
  scores: readonly (readonly number[])[];
  method: RankDifferenceMethod;
  alpha?: number | undefined;
  higherIsBetter?: boolean | undefined;
}

export interface RankDifferencesResult {
  pairs: { a: number; b: number; difference: number; p: number }[];
  critical: number;
}

/**
 * Which items differ in their rank sums, and how large a difference must be to count.
 *
 * Use it after `friedman`. `nemenyi` keeps the risk of even one false alarm at alpha over all pairs; `lsd` and `conover`
 * keep it for each pair alone, so they belong behind a significant Friedman test, or with few pairs planned beforehand.
 * Assumes what `friedman` assumes.
 *
 * @param input.scores rows are at least two listeners, columns at least two items; ranks or any figures, ties allowed
 * @param input.method `nemenyi`: studentized range with infinite degrees of freedom; `conover`: t with the residual variance
 *   of the ranks, which takes ties into account; `lsd`: normal. Ties change neither nemenyi nor lsd
 * @param input.alpha between 0 and 1, by default 0.05; two-sided
 * @param input.higherIsBetter by default true: rank 1 is the highest score; false: the lowest. Turns the signs of the
 *   differences
 * @returns pairs a before b, items as column numbers from 1: difference of the rank sums, a − b (below 0: a is the better);
 *   p two-sided, for nemenyi that of the largest among all differences. critical, of rank sums, for n listeners and k
 *   items: nemenyi q·√(nk(k + 1)/12), q the upper alpha point of the range; lsd z(1 − alpha/2)·√(nk(k + 1)/6); conover
 *   t(1 − alpha/2)·√(2(n·Σr² − ΣR²)/((n − 1)(k − 1))), (n − 1)(k − 1) degrees of freedom
 * @throws StatsError no-variation (conover) where all listeners give the same ranking, or all is tied: no residual variance
 *   is left; missing, unknown-option, wrong-type, out-of-range, unknown-choice, not-enough-data, inconsistent
 *
 * Accuracy: 1e-10 relative; nemenyi 1e-9.
 * Source: Nemenyi (1963) as given by Demšar (2006), Journal of Machine Learning Research 7:1–30; Conover (1999),
 * Practical Nonparametric Statistics, section 5.8; ISO 8587:2006 (least significant difference of rank sums); formulas
 * from memory.
 *
 * @example
 * rankDifferences({ scores: [[1, 2, 3], [1, 3, 2], [1, 2, 3], [2, 1, 3]], method: 'lsd', higherIsBetter: false })
 * // { pairs: [{ a: 1, b: 2, difference: -3, p: 0.288844366346485 }, { a: 1, b: 3, difference: -6 }, { a: 2, b: 3 }], critical: 5.54361529739871 }
 */
export function rankDifferences(input: RankDifferencesInput): RankDifferencesResult {
  options(input, ['scores', 'method', 'alpha', 'higherIsBetter']);
  const scores = matrix(input.scores, 'scores', { rows: 2, columns: 2 });
  const method = choice(input.method, 'method', rankDifferenceMethods);
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const ranks = blockRanks(scores, flag(input.higherIsBetter ?? true, 'higherIsBetter'));
  const { rankSums } = ranks;
  if (rankSums.length > mostItems) {
    throw new StatsError('out-of-range', 'scores', 'have too many columns', `at most ${mostItems}`, rankSums.length);
  }
  const { scale, upper, quantile } = yardstick(method, ranks);
  // Many pairs share a difference, and a range is dear.
  const known = new Map<number, number>();
  const pOf = (size: number) => {
    const p = known.get(size) ?? Math.min(1, upper(size / scale));
    known.set(size, p);
    return p;
  };
  const pairs = rankSums.flatMap((first, i) =>
    rankSums.slice(i + 1).map((second, offset) => {
      const difference = first - second;
      return { a: i + 1, b: i + 2 + offset, difference, p: pOf(Math.abs(difference)) };
    }),
  );
  return { pairs, critical: scale * quantile(alpha) };
}

const mostItems = 1000;

/** A difference of rank sums divided by `scale` has the two-sided p `upper`; `quantile` is where that equals alpha. */
function yardstick(method: RankDifferenceMethod, ranks: BlockRanks) {
  const n = ranks.deviations.length;
  const k = ranks.blockSize;
  const spread = n * k * (k + 1);
  if (method === 'nemenyi') {
    return {
      scale: Math.sqrt(spread / 12),
      upper: (q: number) => studentizedRangeUpper(q, k, Number.POSITIVE_INFINITY),
      quantile: (alpha: number) => studentizedRangeUpperQuantile(alpha, k, Number.POSITIVE_INFINITY),
    };
  }
  if (method === 'lsd') {
    return {
      scale: Math.sqrt(spread / 6),
      upper: (z: number) => 2 * normalUpper(z),
      quantile: (alpha: number) => -normalQuantile(alpha / 2),
    };
  }
  const rest = residual(ranks) / (k - 1);
  if (rest === 0) {
    const wrong = 'leave no residual variance of the ranks';
    throw new StatsError(
      'no-variation',
      'scores',
      wrong,
      'listeners who differ, or another method',
      'one ranking only',
    );
  }
  const degreesOfFreedom = (n - 1) * (k - 1);
  return {
    scale: Math.sqrt(rest / 2 / degreesOfFreedom),
    upper: (t: number) => 2 * tUpper(t, degreesOfFreedom),
    quantile: (alpha: number) => -tQuantile(alpha / 2, degreesOfFreedom),
  };
}
