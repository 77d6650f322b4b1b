import { protocolOf } from '../../protocols/index';
import type { MethodId, Plan } from '../../shared/plan';
import { dPrimeAt, proportionAt, type ThurstonianMethod } from '../../stats/thurstonian';

/**
 * The same difference to the ear, whatever way it is asked for: the distance of two samples, d′, in standard deviations
 * of one impression.
 */

type Smallest = Plan['risks']['smallest'];

/** By which rule listeners come to an answer, where the share of right ones follows from d′. */
export const earRules: Partial<Record<MethodId, ThurstonianMethod>> = {
  abx: 'abx-differencing',
  triangle: 'triangle',
  'duo-trio': 'duo-trio',
  '2-afc': '2-afc',
  '3-afc': '3-afc',
  tetrad: 'tetrad',
};

/** The d′ of the smallest difference of a plan; null where the method's measure doesn't tell it. */
export function earOf(method: MethodId, { kind, value }: Pick<Smallest, 'kind' | 'value'>): number | null {
  if (!(value > 0)) return null;
  if (kind === 'd-prime') return value <= 5 ? value : null;
  const rule = earRules[method];
  const { chance } = protocolOf(method);
  if (kind !== 'heard' || value >= 1 || rule === undefined || chance === null) return null;
  return dPrimeAt(rule, value * (1 - chance), (1 - value) * (1 - chance));
}

/** What that d′ is in the measure of a method: a share of trials truly heard, or d′ itself; null where it is neither. */
export function smallestAt(method: MethodId, dPrime: number): Smallest | null {
  const { chance, smallest: kind } = protocolOf(method);
  if (kind === 'd-prime') return { kind, value: Math.min(5, dPrime) };
  const rule = earRules[method];
  if (kind !== 'heard' || rule === undefined || chance === null) return null;
  return { kind, value: (proportionAt(rule, dPrime) - chance) / (1 - chance) };
}
