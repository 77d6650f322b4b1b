import { comparedIn } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import type { MethodId, Plan } from '../../shared/plan';
import { type Scale, scaleValues } from '../../shared/scales';
import type { TruthDocument } from '../../shared/truth';
import { normalCdf } from '../../stats/distributions';
import { proportionAt, type ThurstonianMethod } from '../../stats/thurstonian';

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
      return meanOf(plan, truth, first) !== meanOf(plan, truth, second);
  }
}

const worthOf = ({ worth }: TruthDocument, id: string): number => worth?.[id] ?? 0;

/** Which of the primary pair is truly the better, or the higher; null where neither is. */
export function trulyFirst(plan: Plan, truth: TruthDocument): string | null {
  const { first, second } = plan.primary;
  const rated = methodOf(plan).protocol.family === 'rating';
  const of = (id: string) => (rated ? meanOf(plan, truth, id) : worthOf(truth, id));
  return of(first) === of(second) ? null : of(first) > of(second) ? first : second;
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
      // Habituation is not worked out here: who heard what how often by then hangs on the draw.
      return truth.driftPerExposure ? null : meanOf(plan, truth, first) - meanOf(plan, truth, second);
    default:
      return null;
  }
}

/** Expected rating of a prototype on the scale of the verdict, over listeners, days and units. */
function meanOf(plan: Plan, truth: TruthDocument, prototype: string): number {
  const { form } = methodOf(plan);
  const scale = form.kind === 'scales' ? form.scales.find(({ id }) => id === plan.primary.scale) : undefined;
  if (!scale) throw new Error('The verdict rests on no scale of this plan.');
  return expected(scale, truth.ratings?.[scale.id]?.[prototype] ?? 0, truth);
}

function expected(scale: Scale, own: number, truth: TruthDocument): number {
  const { listenerSd = 0, interactionSd = 0, sessionSd = 0, unitSd = 0, residualSd = 0 } = truth;
  const sd = Math.hypot(listenerSd, interactionSd, sessionSd, unitSd, residualSd);
  const values = scaleValues(scale);
  const middle = ((values[0] as number) + (values.at(-1) as number)) / 2;
  const below = (x: number): number => (sd === 0 ? (middle + own < x ? 1 : 0) : normalCdf((x - middle - own) / sd));
  // Each point is chosen from half a point below it to half a point above, the ends from beyond.
  return values.reduce((sum, value, i) => {
    const low = i === 0 ? 0 : below(value - 0.5);
    const high = i === values.length - 1 ? 1 : below(value + 0.5);
    return sum + value * (high - low);
  }, 0);
}
