import { tQuantile } from './distributions';

/**
 * estimate ± t·standardError, with the probability `tail` beyond each limit: the tail itself is asked for, since from a
 * level next to 1 it would have lost its digits.
 */
export function tInterval(
  estimate: number,
  standardError: number,
  degreesOfFreedom: number,
  tail: number,
): { lower: number; upper: number } {
  const reach = -tQuantile(tail, degreesOfFreedom) * standardError;
  return { lower: estimate - reach, upper: estimate + reach };
}
