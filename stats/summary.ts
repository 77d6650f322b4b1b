import { figures, options, probability } from './check';
import { largest, mean, onlyRounding, squaresAroundMean } from './moments';
import { tInterval } from './t-interval';

export interface SummaryInput {
  values: readonly number[];
  level?: number | undefined;
}

export interface SummaryResult {
  n: number;
  mean: number;
  standardDeviation: number;
  median: number;
  quartiles: [lower: number, upper: number];
  lower: number;
  upper: number;
}

/**
 * What a list of ratings comes to: mean and spread, median and quartiles, and the range in which the mean may lie.
 *
 * Use it to describe one sample's ratings, one value a listener. The interval assumes that listeners answer
 * independently and that their mean is about normal; the rest assumes nothing.
 *
 * @param input.values at least two numbers
 * @param input.level two-sided level of the interval, between 0 and 1, by default 0.95
 * @returns n; mean; standardDeviation with n − 1; median; quartiles [lower, upper], both of type 7: straight between the
 *   values around place 1 + (n − 1)·share; lower and upper limit of the mean by Student's t, two-sided. Where all values
 *   are alike, but for rounding, standardDeviation is 0 and the interval has no width: nobody's spread was seen, which
 *   doesn't make the mean certain
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data (one value has no spread)
 *
 * Accuracy: 1e-12 relative to the largest value.
 * Source: Hyndman & Fan (1996), American Statistician 50:361–365, definition 7; Student (1908), Biometrika 6:1–25.
 *
 * @example
 * summary({ values: [6, 7, 5, 8, 7, 4] })
 * // { n: 6, mean: 6.16666666666667, standardDeviation: 1.47196014438797, median: 6.5, quartiles: [5.25, 7], lower: 4.62193923063949 }
 */
export function summary(input: SummaryInput): SummaryResult {
  options(input, ['values', 'level']);
  const values = figures(input.values, 'values', 2);
  const level = probability(input.level ?? 0.95, 'level');
  const n = values.length;
  const squares = squaresAroundMean(values);
  const standardDeviation = onlyRounding(squares, n, largest(values)) ? 0 : Math.sqrt(squares / (n - 1));
  const sorted = [...values].sort((a, b) => a - b);
  const centre = mean(values);
  return {
    n,
    mean: centre,
    standardDeviation,
    median: quantile(sorted, 0.5),
    quartiles: [quantile(sorted, 0.25), quantile(sorted, 0.75)],
    ...tInterval(centre, standardDeviation / Math.sqrt(n), n - 1, (1 - level) / 2),
  };
}

function quantile(sorted: readonly number[], share: number): number {
  const place = (sorted.length - 1) * share;
  const below = sorted[Math.floor(place)] as number;
  const above = sorted[Math.ceil(place)] as number;
  return below + (place - Math.floor(place)) * (above - below);
}
