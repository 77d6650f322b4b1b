import { assumedRatings, plannedVarianceLeft } from '../../protocols/first-impressions-power';
import { methodOf } from '../../protocols/index';
import {
  assumedComparison,
  assumedPartOfRange,
  mostListeners,
  powerOfComparison,
  sizeOfComparison,
  type UnitsPlan,
} from '../../protocols/rating-power';
import type { Plan } from '../../shared/plan';
import { scaleValues } from '../../shared/scales';
import { hasWindow } from './method-fields';

/** What power of ratings is stated for, in points of the scale that the verdict rests on. */
export interface AssumedRatings {
  /** How far two samples may be apart. */
  widest: number;
  /** Standard deviation of what is left of one rating. */
  residualSd: number;
  /** Of listeners' differences between two prototypes. */
  differenceSd: number;
  /** As how many that rate both of the two a listener counts: 1, but for less where a listener hears some samples only. */
  worth: number;
  /** What units add, where the primary two have more than one of them; null where the verdict is about single ones. */
  units: UnitsPart | null;
}

export interface UnitsPart extends UnitsPlan {
  /** Degrees of freedom that tell how far units lie apart. */
  freedom: number;
}

export function assumedFor(plan: Plan): AssumedRatings {
  const widest = widestOf(plan);
  const windowed = hasWindow(plan.method.id);
  const residualSd = windowed ? assumedRatings.residualSd : widest * assumedPartOfRange;
  const blocks = windowed ? null : blocksOf(plan);
  const left = windowed ? plannedVarianceLeft(plan) : (blocks?.left ?? varianceLeft(plan));
  const { differenceSd, units } = assumedComparison(residualSd, left, unitsIn(plan), plan.sessions.count);
  return {
    widest,
    residualSd,
    differenceSd,
    worth: blocks?.worth ?? 1,
    units: units && { ...units, freedom: units.of[0] + units.of[1] - 2 },
  };
}

/** Methods whose model tells units apart; of first impressions power has always been told as if units were alike. */
const modelled: readonly string[] = ['several-stimuli', 'absolute-rating', 'attribute-profile', 'just-about-right'];

function unitsIn({ method, primary, prototypes }: Plan): [number, number] | null {
  const count = (id: string) => prototypes.find((one) => one.id === id)?.units.length ?? 0;
  return modelled.includes(method.id) ? [count(primary.first), count(primary.second)] : null;
}

/** Chance that so many listeners find a difference, two-sided at that α (`powerOfComparison`). */
export const powerOfMeans = (assumed: AssumedRatings, listeners: number, points: number, alpha: number): number =>
  powerOfComparison(assumed, Math.floor(listeners * assumed.worth + rounding), points, alpha);

/** A product that is whole but for rounding is whole. */
const rounding = 1e-9;

/** The fewest listeners who find it with power 1 − β; null where so many as are sought don't. */
export function sizeOfMeans(assumed: AssumedRatings, points: number, alpha: number, beta: number): number | null {
  const complete = sizeOfComparison(assumed, points, alpha, beta);
  return complete && Math.ceil(complete / assumed.worth - rounding);
}

/** Where units vary, beyond some thousands it is no matter of listeners any more. */
export const mostSought = mostListeners;

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

/**
 * Blocks of k of n samples, b of them a listener: what a listener is worth, and what own ratings leave of a single one's
 * variance. Blocks of one listener are reckoned as drawn one by one. Where most who hear either of two samples hear both,
 * those compare them (`comparesPairs`); else the comparison goes by way of the others, with the efficiency of blocks as
 * large as what a listener hears in all (Yates 1936, Annals of Eugenics 7:121–140; from memory). Null without blocks.
 */
function blocksOf({ method, prototypes, sessions }: Plan): { worth: number; left: number } | null {
  const { trials = 1, size } = method.spec as { trials?: number; size?: number };
  const n = prototypes.length;
  if (method.id !== 'several-stimuli' || size === undefined || size >= n) return null;
  const b = trials * sessions.count;
  const own = 1 - (1 - size / n) ** b;
  const either = 1 - ((1 - size / n) * (1 - size / (n - 1))) ** b;
  const both = 2 * own - either;
  const heard = n * own;
  const indirect = both * 2 < either;
  return {
    worth: indirect ? (own * n * (heard - 1)) / ((n - 1) * heard) : both,
    left: own / ((b * size) / n),
  };
}

/** Of a single rating's variance, what a listener's own mean of one prototype keeps over all sittings. */
function varianceLeft(plan: Plan): number {
  const { method, prototypes, controls } = plan;
  const { count } = plan.sessions;
  const { rounds = 1, trials = 1 } = method.spec as { rounds?: number; trials?: number };
  switch (method.id) {
    case 'several-stimuli':
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
