import { type Alternative, alternatives, choice, options, probability } from './check';
import { tCdf, tUpper } from './distributions';
import { pairedDifferences } from './paired-differences';
import { tInterval } from './t-interval';

export interface PairedTInput {
  first: readonly number[];
  second: readonly number[];
  alternative?: Alternative | undefined;
  level?: number | undefined;
}

export interface PairedTResult {
  t: number;
  degreesOfFreedom: number;
  p: number;
  difference: number;
  standardError: number;
  lower: number;
  upper: number;
  standardised: number;
}

/**
 * Whether two samples are rated differently by the same listeners: the paired t test.
 *
 * Use it on one rating of each sample from each listener (means, where they rated more than once). Assumes that listeners
 * answer independently and that the mean of their differences is about normal; with few listeners and coarse scales
 * `wilcoxonSignedRank` assumes less.
 *
 * @param input.first ratings of the first sample, one a listener, at least two
 * @param input.second ratings of the second, by the same listeners in the same order
 * @param input.alternative of first − second: `two-sided` (default), twice the tail beyond |t|; `greater`: P(T ≥ t);
 *   `less`: P(T ≤ t)
 * @param input.level of the interval, between 0 and 1, by default 0.95; two-sided whatever the alternative
 * @returns t; degreesOfFreedom, pairs − 1; p; difference, the mean of first − second; its standardError, lower and upper
 *   limit; standardised: difference / standard deviation of the differences (d_z)
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice, not-enough-data, inconsistent
 *   (lists of unequal length), no-variation (all differences alike, but for rounding)
 *
 * Accuracy: 1e-12 relative to the largest rating; p 1e-11 relative, far tails included.
 * Source: Student (1908), Biometrika 6:1–25, section IX; Cohen (1988), Statistical Power Analysis, section 2.3.5 (d_z).
 *
 * @example
 * pairedT({ first: [7, 6, 8, 7, 5], second: [6, 6, 6, 5, 5] })
 * // { t: 2.23606797749979, degreesOfFreedom: 4, p: 0.0890093425000856, difference: 1, standardised: 1 }
 */
export function pairedT(input: PairedTInput): PairedTResult {
  options(input, ['first', 'second', 'alternative', 'level']);
  const alternative = choice(input.alternative ?? 'two-sided', 'alternative', alternatives);
  const level = probability(input.level ?? 0.95, 'level');
  const { difference, standardDeviation, standardError, degreesOfFreedom } = pairedDifferences(
    input.first,
    input.second,
  );
  const t = difference / standardError;
  const p = {
    greater: () => tUpper(t, degreesOfFreedom),
    less: () => tCdf(t, degreesOfFreedom),
    'two-sided': () => 2 * tUpper(Math.abs(t), degreesOfFreedom),
  }[alternative]();
  const { lower, upper } = tInterval(difference, standardError, degreesOfFreedom, (1 - level) / 2);
  return {
    t,
    degreesOfFreedom,
    p: Math.min(1, p),
    difference,
    standardError,
    lower,
    upper,
    standardised: difference / standardDeviation,
  };
}
