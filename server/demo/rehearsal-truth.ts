import type { Truth } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';
import type { RehearsalTruth } from '../rehearse';

/** People differ in taste, and nobody answers twice the same: invented figures, in logits and in points of a scale. */
const gamma = 0.3;
const noise = { listenerSd: 0.7, sessionSd: 0.3, residualSd: 0.8 };
const interactionSd = 0.5;

/** What there is to hear in a rehearsal, as large as was chosen, between the two prototypes that the verdict rests on. */
export function truthOf(plan: Plan, choice: RehearsalTruth): Truth {
  const { smallest } = plan.risks;
  const { first, second, scale = '' } = plan.primary;
  const nothing = choice === 'nothing';
  switch (smallest.kind) {
    case 'share': {
      if (nothing) return {};
      const share = choice === 'smallest' ? smallest.value : Math.max(0.9, (1 + smallest.value) / 2);
      const apart = Math.log(share / (1 - share));
      // The others lie in the middle.
      const others = plan.prototypes.map(({ id }): [string, number] => [id, 0]);
      return { worth: { ...Object.fromEntries(others), [first]: apart / 2, [second]: -apart / 2 }, gamma };
    }
    case 'heard': {
      const heard = choice === 'smallest' ? smallest.value : Math.max(0.9, (1 + smallest.value) / 2);
      return nothing ? {} : { listenersWhoHear: 1, heard };
    }
    case 'points': {
      if (nothing) return noise;
      const points = choice === 'smallest' ? smallest.value : Math.max(2, 2 * smallest.value);
      return { ...noise, interactionSd, ratings: { [scale]: { [first]: points / 2, [second]: -points / 2 } } };
    }
  }
}
