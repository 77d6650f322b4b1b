import { comparedIn } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import type { MethodId, Plan } from '../../shared/plan';
import { type AskedScale, askedScale } from '../../shared/scales';
import type { TruthDocument } from '../../shared/truth';
import { normalCdf } from '../../stats/distributions';
import { proportionAt, type ThurstonianMethod } from '../../stats/thurstonian';
import { tickedBy } from '../demo/tick-chance';

/** What there is to find, and what the estimates of a study should come to, where the truth of it is known. */

/** How often who hears a distance d′ is right, by method; where there is no formula the share is not known. */
const psychometric: Partial<Record<MethodId, ThurstonianMethod>> = {
  abx: 'abx-differencing',
  'duo-trio': 'duo-trio',
  triangle: 'triangle',
  tetrad: 'tetrad',
  '2-afc': '2-afc',
  '3-afc': '3-afc',
};

/** The share of trials truly heard by the average listener; null where no formula leads there from d′. */
export function heardIn(plan: Plan, { listenersWhoHear = 0, dPrime, heard = 0 }: TruthDocument): number | null {
  if (listenersWhoHear === 0 || dPrime === 0) return 0;
  if (dPrime === undefined) return listenersWhoHear * heard;
  const { chance } = methodOf(plan).protocol;
  const method = psychometric[plan.method.id];
  if (method === undefined || chance === null) return null;
  return (listenersWhoHear * (proportionAt(method, dPrime) - chance)) / (1 - chance);
}

/**
 * Whether there is what the plan is after. After similarity there is where the difference is heard more seldom than at
 * its limit; a preference one way counts as none where only the other is looked for.
 */
export function isThere(plan: Plan, truth: TruthDocument): boolean {
  const { protocol } = methodOf(plan);
  const { first, second } = plan.primary;
  switch (protocol.family) {
    case 'difference':
    case 'threshold':
      if (plan.aim === 'similarity') return (heardIn(plan, truth) ?? 1) < plan.risks.smallest.value;
      return (truth.listenersWhoHear ?? 0) > 0 && (truth.dPrime ?? truth.heard ?? 0) > 0;
    case 'preference': {
      const apart = worthOf(truth, first) - worthOf(truth, second);
      return plan.risks.sides === 'one-sided' ? apart > 0 : apart !== 0;
    }
    case 'ranking':
      return new Set(comparedIn(plan).map(({ id }) => worthOf(truth, id))).size > 1;
    case 'rating':
      return differenceOf(plan, truth) !== 0;
  }
}

const worthOf = ({ worth }: TruthDocument, id: string): number => worth?.[id] ?? 0;

/** Which of the primary pair is truly the better, or the higher; null where neither is. */
export function trulyFirst(plan: Plan, truth: TruthDocument): string | null {
  const { first, second } = plan.primary;
  const rated = methodOf(plan).protocol.family === 'rating';
  const apart = rated ? differenceOf(plan, truth) : worthOf(truth, first) - worthOf(truth, second);
  return apart === 0 ? null : apart > 0 ? first : second;
}

/**
 * What an estimate of that name should come to; null where it isn't known. Ratings are whole points that stop at the
 * ends of the scale, so that the true difference is that of what is rated, not of what is felt.
 */
export function trueValueOf(plan: Plan, truth: TruthDocument, name: string): number | null {
  const { first, second } = plan.primary;
  switch (name) {
    case 'heard':
      return heardIn(plan, truth);
    case 'd-prime': {
      // Of all answers together: it is nobody's where some hear it and others don't, or say yes more readily.
      const { listenersWhoHear = 0, dPrime, heard = 0, gamma = 0 } = truth;
      if (listenersWhoHear === 0 || (dPrime ?? heard) === 0) return 0;
      return dPrime !== undefined && listenersWhoHear === 1 && gamma === 0 ? dPrime : null;
    }
    case 'share': {
      const { family } = methodOf(plan).protocol;
      if (truth.positionBias || (family === 'ranking' && truth.interactionSd)) return null;
      const share = 1 / (1 + Math.exp(worthOf(truth, second) - worthOf(truth, first)));
      const none = plan.noPreference.offered && plan.noPreference.rule === 'split' ? (truth.noneRate ?? 0) : 0;
      return none / 2 + (1 - none) * share;
    }
    case 'difference':
    case 'ticked':
      return isHidden(plan, truth) ? null : differenceOf(plan, truth);
    default:
      return null;
  }
}

/**
 * What the difference of ratings hangs on besides and isn't worked out here: who heard what how often by then, which is
 * up to the draw; a habit that pushes grades against the end of a scale; who is left out by what they answered.
 */
function isHidden({ method }: Plan, { driftPerExposure, positionBias }: TruthDocument): boolean {
  const { screening } = method.spec as { screening?: unknown };
  return Boolean(driftPerExposure) || Boolean(positionBias) || screening === true;
}

/** Less than that is nothing but rounding: what half of the panel turns round is no difference. */
const rounding = 1e-12;

/** Expected difference of the primary pair on the scale, or in the share who tick the word, of the verdict. */
function differenceOf(plan: Plan, truth: TruthDocument): number {
  const apart = exactDifference(plan, truth);
  return Math.abs(apart) < rounding ? 0 : apart;
}

function exactDifference(plan: Plan, truth: TruthDocument): number {
  const { form } = methodOf(plan);
  const { first, second, scale: id = '' } = plan.primary;
  const of = (prototype: string) => truth.ratings?.[id]?.[prototype] ?? 0;
  const { listenerSd = 0, interactionSd = 0, sessionSd = 0, unitSd = 0, residualSd = 0 } = truth;
  const { inverted = 0, random = 0 } = form.kind === 'grades' ? truth : {};
  const level = Math.hypot(listenerSd, sessionSd);
  const taste = Math.hypot(interactionSd, unitSd);
  /** Of whoever grades as meant or the wrong way round; at random all come out alike. */
  const over = (mean: (sense: 1 | -1) => number) => (1 - inverted - random) * mean(1) + inverted * mean(-1);
  if (form.kind === 'grades') {
    if (form.attributes.some((word) => word.id === id)) {
      const share = (prototype: string) => over((sense) => tickedBy(sense * of(prototype), Math.hypot(level, taste)));
      return share(first) - share(second);
    }
    const scale = form.scales.find((one) => one.id === id);
    if (!scale) throw new Error('The verdict rests on no scale of this plan.');
    if (form.question === 'question.grade-second') {
      // One grade for both: either has tastes of its own. The other way round it is the same with the sign turned.
      const sd = Math.hypot(level, residualSd, taste * Math.SQRT2);
      return over((sense) => expected(scale, sense * (of(first) - of(second)), sd));
    }
    const sd = Math.hypot(level, taste, residualSd);
    const mean = (prototype: string) => over((sense) => expected(scale, sense * of(prototype), sd));
    return mean(first) - mean(second);
  }
  const scale = form.kind === 'scales' ? form.scales.find((one) => one.id === id) : undefined;
  if (!scale) throw new Error('The verdict rests on no scale of this plan.');
  const sd = Math.hypot(level, taste, residualSd);
  const asked = askedScale(scale);
  return expected(asked, of(first), sd) - expected(asked, of(second), sd);
}

/** Expected rating, in points as they are read, of what lies so far from the middle of the scale, over listeners and days. */
function expected({ from, to, per }: Pick<AskedScale, 'from' | 'to' | 'per'>, own: number, sd: number): number {
  const middle = (from + to) / 2;
  const [mean, spread] = [middle + own * per, sd * per];
  const below = (x: number): number => (spread === 0 ? (mean < x ? 1 : 0) : normalCdf((x - mean) / spread));
  let sum = 0;
  // Each point is chosen from half a point below it to half a point above, the ends from beyond.
  for (let value = from; value <= to; value++) {
    const low = value === from ? 0 : below(value - 0.5);
    const high = value === to ? 1 : below(value + 0.5);
    sum += value * (high - low);
  }
  return sum / per;
}
