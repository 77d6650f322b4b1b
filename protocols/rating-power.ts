import { chiSquareCdf, nonCentralTCdf, nonCentralTUpper, normalUpper, tQuantile } from '../stats/distributions';
import { assumedRatings, assumedSd, ratingPower, ratingSize } from './first-impressions-power';
import { fewestTested } from './over-listeners';

/** What a comparison of two prototypes rests on, in points as they are read. */
export interface ComparisonPlan {
  /** Standard deviation of listeners' own differences between the two. */
  differenceSd: number;
  /** Units of each of the two and how far they vary; null where each has one, or none. */
  units: UnitsPlan | null;
}

export interface UnitsPlan {
  of: readonly [number, number];
  /** Standard deviation of units of one prototype. */
  sd: number;
  /** Variance of what one listener's ratings of one unit leave uncertain about it, units' own spread taken off. */
  ownVariance: number;
}

/** Units of one prototype lie apart by so much of what is left of one rating (standard deviations): an assumption, and said. */
export const assumedUnitShare = 0.3;

/** Of grades what is left of one rating is taken for a sixth of the scale's range: an assumption, and said. */
export const assumedPartOfRange = 1 / 6;

/**
 * What is assumed of two prototypes before anybody rated.
 * @param residualSd of one rating
 * @param left of a single rating's variance in a listener's own mean
 * @param units of each of the two, where the model tells them
 * @param sessions in each of which a listener hears another unit: in fewer than there are units, tastes are mixed with them
 */
export function assumedComparison(
  residualSd: number,
  left: number,
  units: readonly [number, number] | null,
  sessions: number,
): ComparisonPlan {
  const several = units !== null && Math.min(...units) > 0 && Math.max(...units) > 1;
  const mixed = several && sessions < Math.max(...units) ? assumedRatings.tasteShare : 0;
  return {
    differenceSd: residualSd * assumedSd(left),
    units: several
      ? { of: units, sd: residualSd * assumedUnitShare, ownVariance: residualSd ** 2 * (left + mixed) }
      : null,
  };
}

/** Parts into which the law of the units' variance is cut, finer at its lower end. */
const parts = 64;

/**
 * Chance that so many listeners find a difference, two-sided at that α. One unit each: by the paired t test over
 * listeners' means, by the non-central t. Several: as the model decides (`ratingModel`), in which units tell by their own
 * spread how far they lie apart. What is seen of it follows χ² on the units less two. Where that comes out at nothing, t
 * is as without units, though the units vary; else it takes their degrees of freedom, and those of listeners, which are
 * many more, count as known. Over 64 parts of the χ².
 *
 * Against 1,500 simulated studies of 12 listeners × 2 units × 2 sessions, a difference of 1.5 residual standard
 * deviations, it is off by at most 2.1 points (`node tests/bench/bench.mjs unit-power`).
 *
 * Source: Johnson & Welch (1940), Biometrika 31:362–389 (non-central t); the laws of mean squares are those of Scheffé
 * (1959), The Analysis of Variance, section 7.4. Cutting and approximation are ours.
 * @returns 0 for fewer listeners than are tested
 */
export function powerOfComparison(
  { differenceSd, units }: ComparisonPlan,
  listeners: number,
  difference: number,
  alpha: number,
): number {
  if (units === null || listeners < fewestTested) return ratingPower(listeners, difference, differenceSd, alpha);
  const [first, second] = units.of;
  const freedom = first + second - 2;
  const perUnit = 1 / first + 1 / second;
  const own = differenceSd ** 2 / listeners;
  const truly = own + units.sd ** 2 * perUnit;
  // Each unit is rated by its share of the listeners.
  const noise = (units.ownVariance * ((first + second) / 2)) / listeners;
  const spread = units.sd ** 2 + noise;
  const shift = difference / Math.sqrt(truly);
  const criticalOwn = tQuantile(1 - alpha / 2, listeners - 1) * Math.sqrt(own / truly);
  const criticalUnits = tQuantile(1 - alpha / 2, freedom);
  const asAlike =
    nonCentralTUpper(criticalOwn, listeners - 1, shift) + nonCentralTCdf(-criticalOwn, listeners - 1, shift);
  const asUnlike = (seen: number): number => {
    const reach = criticalUnits * Math.sqrt((own + seen * perUnit) / truly);
    return normalUpper(reach - shift) + normalUpper(reach + shift);
  };
  // Below it units come out as alike.
  const alike = (noise / spread) * freedom;
  const end = freedom + 12 * Math.sqrt(2 * freedom) + 20;
  const at = (part: number): number => alike + (end - alike) * (part / parts) ** 2;
  let power = asAlike * chiSquareCdf(alike, freedom);
  for (let part = 0; part < parts; part++) {
    const [from, to] = [at(part), at(part + 1)];
    const weight = chiSquareCdf(to, freedom) - chiSquareCdf(from, freedom);
    power += weight * asUnlike((spread * (from + to)) / 2 / freedom - noise);
  }
  return Math.min(1, power);
}

/** Beyond some thousands it is no matter of listeners any more, but of units. */
export const mostListeners = 5_000;

/** The fewest listeners who find it with power 1 − β; null where so many as are sought don't. */
export function sizeOfComparison(plan: ComparisonPlan, difference: number, alpha: number, beta: number): number | null {
  if (plan.units === null) return ratingSize(difference, plan.differenceSd, alpha, beta);
  const enough = (listeners: number) => powerOfComparison(plan, listeners, difference, alpha) >= 1 - beta;
  let high: number = fewestTested;
  while (!enough(high)) {
    if (high >= mostListeners) return null;
    high = Math.min(mostListeners, high * 2);
  }
  let low: number = fewestTested;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}
