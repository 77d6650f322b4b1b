import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { StatsError } from '../stats/errors';
import { powerOfPairedT, sizeForMeans } from '../stats/size-for-means';
import { alphaEach } from './alpha-each';
import type { FirstImpressionsSpec } from './first-impressions';
import { fewestTested } from './over-listeners';

/** What power is stated for: assumptions, said wherever power is shown. A pilot or an earlier study knows better. */
export const assumedRatings = {
  /** Standard deviation of what is left of a rating, in points: the same listener, the same sample, another time. */
  residualSd: 1,
  /** Variance of listeners' own tastes (listener × prototype), as a share of the residual's. */
  tasteShare: 0.5,
} as const;

/**
 * The standard deviation of listeners' differences between two prototypes that follows from the assumptions: each
 * listener's mean varies by own taste, which no repetition averages out, and by what ratings leave of the residual.
 * @param varianceLeft of a single rating's variance in a listener's mean: 1 for one rating, 1/S over S sittings
 */
export const assumedSd = (varianceLeft: number): number =>
  assumedRatings.residualSd * Math.sqrt(2 * (assumedRatings.tasteShare + varianceLeft));

/**
 * How much of a single rating's variance is left when a study is held as planned: k hidden repeats of n prototypes
 * halve it in a share k/n of the cells of a sitting, and S sessions divide it by S.
 */
export function plannedVarianceLeft(plan: Plan): number {
  const repeated = (plan.controls.hiddenRepeats ?? 0) / plan.prototypes.length;
  return (1 - repeated / 2) / plan.sessions.count;
}

/**
 * Chance that the paired t test of so many listeners, two-sided at that α, finds a difference in points: by the
 * non-central t (`sizeForMeans` has the source). 0 for fewer listeners than are tested.
 */
export function ratingPower(listeners: number, difference: number, standardDeviation: number, alpha: number): number {
  if (listeners < fewestTested) return 0;
  return powerOfPairedT(listeners, { effect: difference / standardDeviation, alpha, sides: 2 });
}

/** The fewest listeners who find a difference with power 1 − β; null where more than a million would be needed. */
export function ratingSize(difference: number, standardDeviation: number, alpha: number, beta: number): number | null {
  try {
    const { listeners } = sizeForMeans({ difference, standardDeviation, alpha, beta });
    return Math.max(fewestTested, listeners);
  } catch (error) {
    if (!(error instanceof StatsError)) throw error;
    // Next to no spread beside the difference: whoever can be tested at all finds it.
    if (error.code === 'out-of-range') return fewestTested;
    if (error.code === 'unreachable') return null;
    throw error;
  }
}

/** What a plan of first impressions can find in one audience. */
export interface ImpressionFinds {
  audience: AudienceId;
  listeners: number;
  /** Chance to find a difference of so many points on the primary scale; the plan's smallest is among them. */
  power: { points: number; power: number; smallest: boolean }[];
  /** Listeners who find the smallest difference worth finding with the planned chance; null where none do. */
  needed: number | null;
  /** Assumed standard deviation of listeners' differences, in points. */
  standardDeviation: number;
  /** What this audience is sure to be tested at. */
  alpha: number;
}

const differences = [0.5, 1, 1.5, 2];

/**
 * What the planned listeners, sessions and hidden repeats can find, by audience: power over several differences and the
 * listeners needed, for the paired t test over listeners' means at `alphaEach`, two-sided, under `assumedRatings`.
 */
export function impressionFinds(plan: Plan): ImpressionFinds[] {
  const { beta, smallest } = plan.risks;
  const { scales } = plan.method.spec as FirstImpressionsSpec;
  const widest = (scales.find(({ id }) => id === plan.primary.scale)?.points ?? 9) - 1;
  const alpha = alphaEach(plan);
  const standardDeviation = assumedSd(plannedVarianceLeft(plan));
  const asked = [...new Set([...differences.filter((points) => points <= widest), smallest.value])].sort(
    (a, b) => a - b,
  );
  return plan.audiences.map(({ id, listeners }) => ({
    audience: id as AudienceId,
    listeners,
    power: asked.map((points) => ({
      points,
      power: ratingPower(listeners, points, standardDeviation, alpha),
      smallest: points === smallest.value,
    })),
    needed: ratingSize(smallest.value, standardDeviation, alpha, beta),
    standardDeviation,
    alpha,
  }));
}
