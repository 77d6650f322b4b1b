import { assumedRatings, plannedVarianceLeft } from '../../protocols/first-impressions-power';
import { methodOf } from '../../protocols/index';
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
}

/** Of grades what is left is taken for a sixth of the range, which is one point of seven. */
const partOfRange = 1 / 6;

export function assumedFor(plan: Plan): AssumedRatings {
  const widest = widestOf(plan);
  const residualSd = hasWindow(plan.method.id) ? assumedRatings.residualSd : widest * partOfRange;
  const left = hasWindow(plan.method.id) ? plannedVarianceLeft(plan) : varianceLeft(plan);
  return { widest, residualSd, differenceSd: residualSd * Math.sqrt(2 * (assumedRatings.tasteShare + left)) };
}

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
