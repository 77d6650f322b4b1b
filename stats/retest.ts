import { options, pairs } from './check';
import { normalQuantile } from './distributions';
import { mean, sumOfSquares, variance } from './moments';

export interface RetestInput {
  first: readonly number[];
  second: readonly number[];
}

export interface RetestResult {
  bias: number;
  lowerLimit: number;
  upperLimit: number;
  withinSd: number;
  repeatability: number;
}

/**
 * How far a second measurement of the same thing strays from the first: bias, limits of agreement and repeatability.
 *
 * Use it on two runs of one method (repeatability), or on two methods (bias and limits). Assumes pairs independent of each
 * other, differences about normal, and of the same spread whatever the size.
 *
 * @param input.first first measurements, at least 2
 * @param input.second second ones of the same things, in the same order and unit
 * @returns bias: mean of first − second; lowerLimit and upperLimit: bias ∓ 1.96 standard deviations of the differences
 *   (n − 1), between which 95 % of differences are expected, 1.96 being the normal quantile in full, 1.95996…; withinSd:
 *   √(Σd²/2n), the standard deviation of repeated measurements of one thing, a bias counted in; repeatability:
 *   1.96·√2·withinSd, 1.96 as it stands, below which 95 % of the differences between two measurements should lie. All in
 *   the unit of the input; all 0 where every pair is the same
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent (lists of unequal
 *   length)
 *
 * Accuracy: 1e-12 relative to the largest measurement.
 * Source: Bland & Altman (1986), The Lancet 327:307–310 (with 2 for 1.96); ISO 5725-6:1994, 4.1 (repeatability limit).
 * Formulas from memory.
 *
 * @example
 * retest({ first: [494, 395, 516, 434], second: [512, 430, 520, 428] })
 * // { bias: -12.75, lowerLimit: -47.6415795657297, upperLimit: 22.1415795657297, withinSd: 14.1465543507951, repeatability: 39.2122480865354 }
 */
export function retest(input: RetestInput): RetestResult {
  options(input, ['first', 'second']);
  const { first, second } = pairs(input.first, input.second, 2);
  const differences = first.map((value, i) => value - (second[i] as number));
  const n = differences.length;
  const bias = mean(differences);
  const reach = -normalQuantile(0.025) * Math.sqrt(variance(differences));
  const withinSd = Math.sqrt(sumOfSquares(differences) / (2 * n));
  return {
    bias,
    lowerLimit: bias - reach,
    upperLimit: bias + reach,
    withinSd,
    repeatability: 1.96 * Math.SQRT2 * withinSd,
  };
}
