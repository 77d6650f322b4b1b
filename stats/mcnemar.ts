import { options, whole } from './check';
import { binomialCdf } from './distributions';

export interface McnemarInput {
  b: number;
  c: number;
}

export interface McnemarResult {
  p: number;
  odds: number | null;
  unbounded: boolean;
}

/**
 * Whether answers changed more often one way than the other: McNemar's exact test of paired yes-or-no answers.
 *
 * Use it where the same listeners answer twice (before and after a change, or about two samples): those who answer alike
 * both times say nothing about the direction, so only the two kinds of change count. Assumes that each pair comes from a
 * listener of its own.
 *
 * @param input.b pairs that changed one way: yes the first time, no the second; a whole number, at least 0
 * @param input.c pairs that changed the other way
 * @returns p: two-sided, twice the smaller tail of b + c tosses of a coin, at most 1, and 1 where nothing changed; odds:
 *   b / c, `null` where c is 0, with unbounded true unless b is 0 too
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range
 *
 * Accuracy: 1e-11 relative, tails of 1e-290 included.
 * Source: McNemar (1947), Psychometrika 12:153–157; exact form: Agresti (1990), Categorical Data Analysis, section 10.1.
 *
 * @example
 * mcnemar({ b: 5, c: 14 })
 * // { p: 0.063568115234375, odds: 0.357142857142857, unbounded: false }
 */
export function mcnemar(input: McnemarInput): McnemarResult {
  options(input, ['b', 'c']);
  const b = whole(input.b, 'b', { min: 0, max: 1e9 });
  const c = whole(input.c, 'c', { min: 0, max: 1e9 });
  return {
    p: Math.min(1, 2 * binomialCdf(Math.min(b, c), b + c, 0.5)),
    odds: c === 0 ? null : b / c,
    unbounded: c === 0 && b > 0,
  };
}
