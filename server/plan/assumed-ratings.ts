import { assumedRatings, plannedVarianceLeft, ratingPower, ratingSize } from '../../protocols/first-impressions-power';
import { methodOf } from '../../protocols/index';
import { fewestTested } from '../../protocols/over-listeners';
import type { Plan } from '../../shared/plan';
import { scaleValues } from '../../shared/scales';
import { nonCentralTCdf, nonCentralTUpper, tQuantile } from '../../stats/distributions';
import { hasWindow } from './method-fields';

/** What power of ratings is stated for, in points of the scale that the verdict rests on. */
export interface AssumedRatings {
  /** How far two samples may be apart. */
  widest: number;
  /** Standard deviation of what is left of one rating. */
  residualSd: number;
  /** Of listeners' differences between two prototypes. */
  differenceSd: number;
  /** What units add, where the primary two have more than one of them; null where the verdict is about single ones. */
  units: UnitsPart | null;
}

export interface UnitsPart {
  /** Of each of the primary two. */
  of: [number, number];
  /** Assumed standard deviation of units of one prototype, in points. */
  sd: number;
  /** Of the difference of two prototypes' means, and the degrees of freedom that tell it. */
  variance: number;
  freedom: number;
}

/** Units of one prototype lie apart by so much of what is left of one rating: an assumption, and said. */
const unitShare = 0.3;

/** Of grades what is left is taken for a sixth of the range, which is one point of seven. */
const partOfRange = 1 / 6;

export function assumedFor(plan: Plan): AssumedRatings {
  const widest = widestOf(plan);
  const residualSd = hasWindow(plan.method.id) ? assumedRatings.residualSd : widest * partOfRange;
  const left = hasWindow(plan.method.id) ? plannedVarianceLeft(plan) : varianceLeft(plan);
  const differenceSd = residualSd * Math.sqrt(2 * (assumedRatings.tasteShare + left));
  return { widest, residualSd, differenceSd, units: unitsPart(plan, residualSd * unitShare) };
}

/** Methods whose model tells units apart; of first impressions power has always been told as if units were alike. */
const modelled: readonly string[] = ['several-stimuli', 'absolute-rating', 'attribute-profile', 'just-about-right'];

function unitsPart({ method, primary, prototypes }: Plan, sd: number): UnitsPart | null {
  const count = (id: string) => prototypes.find((one) => one.id === id)?.units.length ?? 0;
  const of: [number, number] = [count(primary.first), count(primary.second)];
  if (!modelled.includes(method.id) || Math.min(...of) === 0 || Math.max(...of) === 1) return null;
  return { of, sd, variance: sd ** 2 * (1 / of[0] + 1 / of[1]), freedom: of[0] + of[1] - 2 };
}

/**
 * Chance that so many listeners find a difference, two-sided at that α: by the t test over their means, and where units
 * vary as well by the t of both parts together, its degrees of freedom by Satterthwaite (1946, Biometrics Bulletin
 * 2:110–114), non-central at the difference. 0 for fewer listeners than are tested.
 */
export function powerOfMeans(assumed: AssumedRatings, listeners: number, points: number, alpha: number): number {
  const { differenceSd, units } = assumed;
  if (units === null || listeners < fewestTested) return ratingPower(listeners, points, differenceSd, alpha);
  const own = differenceSd ** 2 / listeners;
  const variance = own + units.variance;
  const freedom = variance ** 2 / (own ** 2 / (listeners - 1) + units.variance ** 2 / units.freedom);
  const critical = tQuantile(1 - alpha / 2, freedom);
  const shift = points / Math.sqrt(variance);
  return Math.min(1, nonCentralTUpper(critical, freedom, shift) + nonCentralTCdf(-critical, freedom, shift));
}

/** The fewest listeners who find it with power 1 − β; null where so many as are sought don't. */
export function sizeOfMeans(assumed: AssumedRatings, points: number, alpha: number, beta: number): number | null {
  if (assumed.units === null) return ratingSize(points, assumed.differenceSd, alpha, beta);
  const enough = (listeners: number) => powerOfMeans(assumed, listeners, points, alpha) >= 1 - beta;
  let high: number = fewestTested;
  while (!enough(high)) {
    if (high >= mostSought) return null;
    high = Math.min(mostSought, high * 2);
  }
  let low: number = fewestTested;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Where units vary, beyond some thousands it is no matter of listeners any more. */
export const mostSought = 5_000;

function widestOf(plan: Plan): number {
  const { form } = methodOf(plan);
  const { scale: id } = plan.primary;
  if (form.kind === 'scales') {
    const values = scaleValues(form.scales.find((scale) => scale.id === id) ?? { polarity: 'unipolar', points: 9 });
    return (values.at(-1) as number) - (values[0] as number);
  }
  const scale = form.kind === 'grades' ? form.scales.find((one) => one.id === id) : undefined;
  return scale ? (scale.to - scale.from) / scale.per : 1;
}

/** Of a single rating's variance, what a listener's own mean of one prototype keeps over all sittings. */
function varianceLeft(plan: Plan): number {
  const { method, prototypes, controls } = plan;
  const { count } = plan.sessions;
  const { rounds = 1, trials = 1, size } = method.spec as { rounds?: number; trials?: number; size?: number };
  switch (method.id) {
    case 'several-stimuli':
      return 1 / ((trials * (size ?? prototypes.length) * count) / prototypes.length);
    case 'reference-and-anchors':
      return 1 / (trials * count);
    case 'small-impairments':
      // A difference grade has the variance of two grades.
      return (against(plan) ? 1 : 2) / (rounds * count);
    case 'comparison-rating':
      // One comparison a trial, in both orders: a difference by itself.
      return 1 / (4 * rounds * count);
    default: {
      const repeated = (controls.hiddenRepeats ?? 0) / prototypes.length;
      return (1 / rounds - repeated / (rounds * (rounds + 1))) / count;
    }
  }
}

/** Whether the reference itself is one of the two. */
function against({ primary, method }: Plan): boolean {
  const { reference } = method.spec as { reference?: string };
  return primary.first === reference || primary.second === reference;
}

/** Differences that a table tells, round ones on every scale. */
export function differencesOn({ widest }: AssumedRatings): number[] {
  const step = widest >= 50 ? 5 : widest >= 6 ? 0.5 : 0.25;
  return [1, 2, 3, 4].map((times) => times * step);
}
