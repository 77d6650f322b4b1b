import { twoSidedP } from './binomial-test';
import { type Alternative, alternatives, choice, options, probability, whole } from './check';
import { binomialCdf, binomialUpper, normalQuantile } from './distributions';

export interface CriticalCountInput {
  trials: number;
  chance?: number | undefined;
  alpha?: number | undefined;
  alternative?: Alternative | undefined;
}

export interface CriticalCountResult {
  count: number | null;
  attainedAlpha: number;
}

/**
 * How many right answers out of so many trials are enough: the fewest that are significant.
 *
 * Use it to plan a difference test or to print its table. Assumes what the exact binomial test assumes.
 *
 * @param input.trials at least 1
 * @param input.chance probability of a right answer by guessing, between 0 and 1, by default 0.5
 * @param input.alpha risk of a false alarm, between 0 and 1, by default 0.05
 * @param input.alternative `greater` (default): smallest count with P(X ≥ count) ≤ alpha; `less`: the largest with
 *   P(X ≤ count) ≤ alpha; `two-sided`: the fewest above trials × chance whose exact two-sided p is ≤ alpha, the count of
 *   the larger side
 * @returns count, `null` where none is significant; attainedAlpha: the probability under guessing of all significant
 *   counts (both sides where two-sided), 0 where there is none
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: the count is exact; a tail equal to alpha but for rounding (1e-12 relative) counts as reached.
 * Source: ISO 10399:2004 Table A.1 and ISO 4120:2021 Table A.1 (layout of the triangle table) are made by this rule.
 *
 * @example
 * criticalCount({ trials: 30, chance: 1 / 3, alpha: 0.05 })
 * // { count: 15, attainedAlpha: 0.0434822757279194 }
 */
export function criticalCount(input: CriticalCountInput): CriticalCountResult {
  options(input, ['trials', 'chance', 'alpha', 'alternative']);
  const trials = whole(input.trials, 'trials', { min: 1, max: 1e7 });
  const chance = probability(input.chance ?? 0.5, 'chance');
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const alternative = choice(input.alternative ?? 'greater', 'alternative', alternatives);
  const region = rejectionRegion(trials, chance, alpha, alternative);
  return { count: countOf(region, trials, alternative), attainedAlpha: probabilityOf(region, trials, chance) };
}

/** Significant are the counts ≥ upper and those ≤ lower; upper is trials + 1 and lower −1 where there are none. */
export interface RejectionRegion {
  upper: number;
  lower: number;
}

/** What `count` says of a region: see {@link criticalCount}. */
export function countOf(region: RejectionRegion, trials: number, alternative: Alternative): number | null {
  if (alternative === 'less') return region.lower < 0 ? null : region.lower;
  return region.upper > trials ? null : region.upper;
}

/** Probability that the count falls into the region when an answer is right with probability `share`. */
export function probabilityOf(region: RejectionRegion, trials: number, share: number): number {
  const below = region.lower < 0 ? 0 : binomialCdf(region.lower, trials, share);
  return binomialUpper(region.upper, trials, share) + below;
}

/** The region of an exact test, without checks; `near`, the region of one trial fewer, makes a search over sizes fast. */
export function rejectionRegion(
  trials: number,
  chance: number,
  alpha: number,
  alternative: Alternative,
  near?: RejectionRegion,
): RejectionRegion {
  const limit = alpha * (1 + 1e-12);
  const mean = trials * chance;
  const reach = normalQuantile(alpha) * Math.sqrt(mean * (1 - chance));
  const region = { upper: trials + 1, lower: -1 };
  if (alternative !== 'less') {
    const p = alternative === 'greater' ? binomialUpper : twoSidedP;
    const floor = alternative === 'greater' ? 0 : Math.floor(mean) + 1;
    let count = clamp(near?.upper ?? Math.ceil(mean - reach), floor, trials + 1);
    while (count <= trials && p(count, trials, chance) > limit) count++;
    while (count > floor && p(count - 1, trials, chance) <= limit) count--;
    region.upper = count;
  }
  if (alternative !== 'greater') {
    const p = alternative === 'less' ? binomialCdf : twoSidedP;
    const ceiling = alternative === 'less' ? trials : Math.ceil(mean) - 1;
    let count = clamp(near?.lower ?? Math.floor(mean + reach), -1, ceiling);
    while (count >= 0 && p(count, trials, chance) > limit) count--;
    while (count < ceiling && p(count + 1, trials, chance) <= limit) count++;
    region.lower = count;
  }
  return region;
}

const clamp = (value: number, low: number, high: number) => Math.min(high, Math.max(low, value));
