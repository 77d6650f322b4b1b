import { methodOf } from '../../protocols/index';
import type { Truth } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';
import { effectOf, type RehearsalTruth, widestOf } from '../rehearse';
import { logitFor } from './tick-chance';

/** People differ in taste, and nobody answers twice the same: invented figures, in logits and in points of a scale. */
const gamma = 0.3;
const noise = { listenerSd: 0.7, sessionSd: 0.3, residualSd: 0.8 };
const interactionSd = 0.5;
/** In logits of a word. */
const ticking = { listenerSd: 0.5, interactionSd: 0.5 };
/** Of grades on any scale: one grade lies off by so much of the whole scale, and all else in proportion. */
const residualShare = 1 / 6;
/** So far above the middle that next to nobody grades it lower, as whoever finds the reference among the others does. */
const topShare = 0.9;
/** Anchors are plainly worse: so far below the middle, the lower ones further down. */
const anchorShares: Record<number, number> = { 7000: 0.2, 3500: 0.4 };

/** What there is to hear in a rehearsal, as large as was chosen, between the two prototypes that the verdict rests on. */
export const truthOf = (plan: Plan, choice: RehearsalTruth): Truth =>
  truthWith(plan, effectOf(plan, choice), choice === 'nothing');

/** The same for an effect of any size, in the measure of the plan's smallest. */
export function truthWith(plan: Plan, effect: number, nothing: boolean): Truth {
  const { first, second, scale = '' } = plan.primary;
  switch (plan.risks.smallest.kind) {
    case 'share': {
      if (nothing) return {};
      const apart = Math.log(effect / (1 - effect));
      // The others lie in the middle.
      const others = plan.prototypes.map(({ id }): [string, number] => [id, 0]);
      return { worth: { ...Object.fromEntries(others), [first]: apart / 2, [second]: -apart / 2 }, gamma };
    }
    case 'heard':
      return nothing ? {} : { listenersWhoHear: 1, heard: effect };
    case 'd-prime':
      return nothing ? {} : { listenersWhoHear: 1, dPrime: effect };
    case 'ticked': {
      // Where liking is asked beside the words, it is as noisy as any grade.
      const { form } = methodOf(plan);
      const [liking] = form.kind === 'grades' ? form.scales : [];
      const noisy = liking ? { residualSd: (residualShare * (liking.to - liking.from)) / liking.per } : {};
      if (nothing) return { ...ticking, ...noisy };
      // As `ratings` of a word are read: how likely it is ticked, on the logit scale, about one half.
      const half = logitFor((1 + effect) / 2, Math.hypot(ticking.listenerSd, ticking.interactionSd));
      return { ...ticking, ...noisy, ratings: { [scale]: { [first]: half, [second]: -half } } };
    }
    case 'points':
      if (methodOf(plan).form.kind === 'grades') return graded(plan, effect, nothing);
      if (nothing) return noise;
      return { ...noise, interactionSd, ratings: { [scale]: { [first]: effect / 2, [second]: -effect / 2 } } };
  }
}

/** Grades: the noise goes with the scale, and a reference and anchors lie where everybody would put them. */
function graded(plan: Plan, effect: number, nothing: boolean): Truth {
  const { first, second, scale = '' } = plan.primary;
  const width = widestOf(plan);
  const times = (residualShare * width) / noise.residualSd;
  const { reference } = plan.method.spec as { reference?: unknown };
  const apart = plan.prototypes.flatMap(({ id, anchor }): [string, number][] => {
    if (id === reference) return [[id, topShare * width]];
    return anchor ? [[id, -(anchorShares[anchor.lowPassHz] ?? 0) * width]] : [];
  });
  const others = Object.fromEntries(apart);
  const means = { ...others };
  if (first === reference || second === reference) {
    // The reference stays at the top, so that the other lies below that by the whole of it.
    means[first === reference ? second : first] = nothing ? topShare * width : width / 2 - effect;
  } else if (!nothing) {
    means[first] = effect / 2;
    means[second] = -effect / 2;
  }
  return {
    listenerSd: times * noise.listenerSd,
    sessionSd: times * noise.sessionSd,
    residualSd: times * noise.residualSd,
    ...(nothing ? {} : { interactionSd: times * interactionSd }),
    ...(Object.keys(means).length > 0 ? { ratings: { [scale]: means } } : {}),
  };
}
