import type { Truth } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';
import { effectOf, type RehearsalTruth } from '../rehearse';

/** People differ in taste, and nobody answers twice the same: invented figures, in logits and in points of a scale. */
const gamma = 0.3;
const noise = { listenerSd: 0.7, sessionSd: 0.3, residualSd: 0.8 };
const interactionSd = 0.5;

/** What there is to hear in a rehearsal, as large as was chosen, between the two prototypes that the verdict rests on. */
export function truthOf(plan: Plan, choice: RehearsalTruth): Truth {
  const { first, second, scale = '' } = plan.primary;
  const effect = effectOf(plan, choice);
  const nothing = choice === 'nothing';
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
    case 'ticked':
      // As `ratings` of a word are read: how likely it is ticked, on the logit scale, about one half.
      if (nothing) return {};
      return {
        ratings: {
          [scale]: { [first]: Math.log((1 + effect) / (1 - effect)), [second]: -Math.log((1 + effect) / (1 - effect)) },
        },
      };
    case 'points':
      if (nothing) return noise;
      return { ...noise, interactionSd, ratings: { [scale]: { [first]: effect / 2, [second]: -effect / 2 } } };
  }
}
