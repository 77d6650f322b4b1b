import { protocolOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';

export const pairsOf = (plan: Plan): number => (plan.prototypes.length * (plan.prototypes.length - 1)) / 2;

export function turnsOf(plan: Plan): number {
  const protocol = protocolOf(plan.method.id);
  return protocol.trials(protocol.spec.parse(plan.method.spec));
}

/** Joining, check-in, cautions and finding the seat. */
const arrivalSeconds = 180;

/** Minutes that one sitting takes a listener: arrival, practice, and every turn with its two samples. */
export function minutesOf(plan: Plan): number {
  const { listen, swap, fit, answer } = plan.timing;
  const turn = 2 * (swap + fit + listen) + answer;
  return Math.ceil((arrivalSeconds + (turnsOf(plan) + 1) * turn) / 60);
}

/**
 * Minutes until the whole panel is through when everybody sits at once: samples are shared, and one that is swapped,
 * fitted and heard at one seat is missing at another. A lower bound: it takes the handing over to be perfectly planned.
 */
export function panelMinutesOf(plan: Plan): number {
  const { listen, swap, fit } = plan.timing;
  const listeners = plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  const units = plan.prototypes.reduce((sum, prototype) => sum + prototype.units.length, 0);
  const busy = (listeners * (turnsOf(plan) + 1) * 2 * (swap + fit + listen)) / units;
  return Math.max(minutesOf(plan), Math.ceil((arrivalSeconds + busy) / 60));
}
