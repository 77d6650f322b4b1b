import { number, options } from './check';
import { tCdf, tUpper } from './distributions';
import { pairedDifferences } from './paired-differences';
import { tInterval } from './t-interval';

export interface EquivalenceInput {
  first: readonly number[];
  second: readonly number[];
  margin: number;
  alpha?: number | undefined;
}

export interface EquivalenceResult {
  p: number;
  lower: number;
  upper: number;
  equivalent: boolean;
}

/**
 * Whether two samples are rated alike, within a margin named beforehand: two one-sided t tests of the paired differences.
 *
 * Use it to show that a change does no harm: that a plain test finds nothing shows only that too few were asked. Assumes
 * what `pairedT` assumes. The margin is the largest mean difference that would not matter; naming it after a look at the
 * data voids the test.
 *
 * @param input.first ratings of the first sample, one a listener, at least two
 * @param input.second ratings of the second, by the same listeners in the same order
 * @param input.margin above 0, in units of the scale: alike means a mean of first − second between −margin and margin
 * @param input.alpha risk of calling alike what isn't, above 0 and below 0.5, by default 0.05
 * @returns p: the larger of the two one-sided p, P(T ≥ (difference + margin)/standard error) and P(T ≤ (difference −
 *   margin)/standard error); lower and upper limit of the mean difference at level 1 − 2·alpha; equivalent: p ≤ alpha,
 *   which holds where both limits lie within the margin
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent (lists of unequal
 *   length), no-variation (all differences alike, but for rounding)
 *
 * Accuracy: as `pairedT`.
 * Source: Schuirmann (1987), Journal of Pharmacokinetics and Biopharmaceutics 15:657–680.
 *
 * @example
 * equivalence({ first: [7, 6, 8, 7, 5, 6], second: [7, 6, 7, 7, 6, 6], margin: 1 })
 * // { p: 0.00586240550197732, lower: -0.520283252781409, upper: 0.520283252781409, equivalent: true }
 */
export function equivalence(input: EquivalenceInput): EquivalenceResult {
  options(input, ['first', 'second', 'margin', 'alpha']);
  const margin = number(input.margin, 'margin', { min: 0, max: 1e15, open: true });
  const alpha = number(input.alpha ?? 0.05, 'alpha', { min: 0, max: 0.5, open: true });
  const { difference, standardError, degreesOfFreedom } = pairedDifferences(input.first, input.second);
  const aboveLow = tUpper((difference + margin) / standardError, degreesOfFreedom);
  const belowHigh = tCdf((difference - margin) / standardError, degreesOfFreedom);
  const p = Math.max(aboveLow, belowHigh);
  return { p, ...tInterval(difference, standardError, degreesOfFreedom, alpha), equivalent: p <= alpha };
}
