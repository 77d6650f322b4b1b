import { protocolOf } from '../../protocols/index';
import { plannedDPrime, wayOfAsking } from '../../protocols/ways-of-asking';
import type { MethodId, Plan } from '../../shared/plan';
import { remembered } from './remembered';

/**
 * The same difference to the ear, whatever way it is asked for: the distance of two samples, d′, in standard deviations
 * of one impression.
 */

type Smallest = Plan['risks']['smallest'];

/** The d′ of the smallest difference of a plan; null where the method's measure doesn't tell it. */
export function earOf(method: MethodId, smallest: Smallest): number | null {
  const { kind, value } = smallest;
  // Liking needn't go the way of the difference.
  if (kind !== 'heard' && kind !== 'd-prime') return null;
  if (!(value > 0) || value >= (kind === 'heard' ? 1 : 5)) return null;
  const risks = { alpha: 0.05, beta: 0.2, smallest, sides: 'one-sided' } as const;
  return remembered(['ear', method, smallest], () => plannedDPrime({ method: { id: method, spec: {} }, risks }));
}

/** What that d′ is in the measure of a method: a share of trials truly heard, or d′ itself; null where it is neither. */
export function smallestAt(method: MethodId, dPrime: number): Smallest | null {
  const { chance, smallest: kind } = protocolOf(method);
  if (kind === 'd-prime') return { kind, value: Math.min(5, dPrime) };
  if (kind !== 'heard' || chance === null) return null;
  // Its share of right answers hangs on no risks.
  const way = remembered(['share', method, dPrime], () => wayOfAsking(method, dPrime, 0.05, 0.2));
  return way && { kind, value: (way.share - chance) / (1 - chance) };
}
