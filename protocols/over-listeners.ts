import { equivalence } from '../stats/equivalence';
import { StatsError } from '../stats/errors';
import { pairedT } from '../stats/paired-t';
import type { Estimate } from './results';

/** Fewer listeners than these are told apart by no test: then p is null, and no verdict is given. */
export const fewestTested = 3;

/** One figure a listener, summed up with the listener as the unit. */
export interface OverListeners {
  listeners: number;
  /** Their mean with its t interval; null for fewer than two, and where all are alike: nobody's spread was seen. */
  estimate: Estimate | null;
  /** That the true mean is 0, by t, two-sided; null for fewer than three listeners, and where all are alike. */
  p: number | null;
  /** Of the listeners' figures; null where `estimate` is. */
  standardDeviation: number | null;
}

/**
 * The mean of listeners' own figures (differences of two means, slopes), its interval and its test: the paired t test,
 * whose pairs the figures are the differences of.
 * @param name of the estimate
 * @param values one figure a listener, made of ratings
 * @param level of the interval, two-sided
 */
export function overListeners(name: string, values: readonly number[], level: number): OverListeners {
  const own = inOrder(values);
  const listeners = own.length;
  const tested = alike(own) ? null : wherePossible(() => pairedT({ first: own, second: zeros(own), level }));
  if (tested === null) return { listeners, estimate: null, p: null, standardDeviation: null };
  const { difference: value, lower, upper, p, standardError } = tested;
  return {
    listeners,
    estimate: { name, value, lower, upper, level },
    p: listeners < fewestTested ? null : p,
    standardDeviation: standardError * Math.sqrt(listeners),
  };
}

/**
 * Whether the mean of listeners' figures lies within ± margin, by two one-sided tests at that α each (`equivalence`).
 * False where that can't be told: fewer than three listeners, or all alike.
 */
export function within(margin: number, values: readonly number[], alpha: number): boolean {
  const own = inOrder(values);
  if (own.length < fewestTested || alike(own)) return false;
  return wherePossible(() => equivalence({ first: own, second: zeros(own), margin, alpha }))?.equivalent ?? false;
}

/** Sorted, so that names and order of arrival move no digit. */
const inOrder = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);

/** Ratings are whole numbers: figures made of them that differ by less are the same, but for rounding. */
const rounding = 1e-12;
const alike = (sorted: readonly number[]): boolean =>
  sorted.length < 2 || (sorted.at(-1) as number) - (sorted[0] as number) < rounding;

const zeros = (values: readonly number[]): number[] => values.map(() => 0);

/** The result of a statistic, or null where these data don't have one: too few, or nothing that varies. */
export function wherePossible<T>(compute: () => T): T | null {
  try {
    return compute();
  } catch (error) {
    if (error instanceof StatsError && ['not-enough-data', 'no-variation'].includes(error.code)) return null;
    throw error;
  }
}
