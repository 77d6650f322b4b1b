import { choice, number, options } from './check';
import { proportionAt, type ThurstonianMethod, thurstonianMethods } from './thurstonian';

export interface ProportionCorrectInput {
  method: ThurstonianMethod;
  dPrime: number;
}

export interface ProportionCorrectResult {
  proportion: number;
}

/**
 * How many answers a method gets right, in the long run, where two samples are so far apart to the ear.
 *
 * Use it to carry a difference found with one method over to another, or to plan. Assumes what `dPrime` assumes.
 *
 * @param input.method 2-afc, 3-afc, triangle, duo-trio, tetrad, abx-differencing, abx-independent,
 *   same-different-independent
 * @param input.dPrime distance of the two samples in standard deviations of one impression, at least 0
 * @returns proportion of right answers, from chance (1/3 for 3-afc, triangle and tetrad, else 1/2) to 1
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: 1e-14.
 * Source: see `thurstonian`.
 *
 * @example
 * proportionCorrect({ method: 'triangle', dPrime: 1 })
 * // { proportion: 0.418046674714639 }
 */
export function proportionCorrect(input: ProportionCorrectInput): ProportionCorrectResult {
  options(input, ['method', 'dPrime']);
  const method = choice(input.method, 'method', thurstonianMethods);
  return { proportion: proportionAt(method, number(input.dPrime, 'dPrime', { min: 0 })) };
}
