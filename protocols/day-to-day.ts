import { kept } from './groups';
import { meanOf } from './own-ratings';
import type { Repeat } from './sitting-figures';

/** How much the same listener's answers about the same thing vary within a day, and how much more from day to day. */
export interface DayToDay {
  /** Variance of one answer about another of the same day. */
  withinDay: number;
  /** What days add to that, never below 0. */
  betweenDays: number;
  /** Share of days in both together; null where neither varies. */
  share: number | null;
  answers: number;
  /** Of a listener about one thing, all of them counted. */
  days: number;
  listeners: number;
}

/**
 * Variance from day to day apart from that within a day, by the method of moments of a nested analysis of variance:
 * things as listeners judge them, days within these, answers within days. Of N answers in D days of L listeners' things,
 * with n of thing i on day j: within = SS within/(N − D); between = (SS of days within things − (D − L)·within)/(N −
 * Σᵢ Σⱼ nᵢⱼ²/nᵢ). Drift that all share counts as days. A negative estimate is 0.
 *
 * Source: Searle, Casella & McCulloch (1992), Variance Components, chapter 3 and its nested unbalanced case (from
 * memory).
 * @param repeats answers of one audience
 * @returns null where no day has two answers about one thing, or nothing was asked on two days: then the two can't be
 *   told apart
 */
export function dayToDay(repeats: readonly Repeat[]): DayToDay | null {
  const listeners = new Map<string, Map<string, Map<number, number[]>>>();
  for (const { listener, sitting, thing, value } of repeats) {
    const own = kept(listeners, listener, () => new Map<string, Map<number, number[]>>());
    const days = kept(own, thing, () => new Map<number, number[]>());
    kept(days, sitting, () => [] as number[]).push(value);
  }
  // Each thing apart, and then added up from the smallest, so that names and order of arrival move no digit.
  const parts = [...listeners.values()].flatMap((things) =>
    [...things.values()].map((days) =>
      partOf([...days].sort(([a], [b]) => a - b).map(([, values]) => values.sort((a, b) => a - b))),
    ),
  );
  const total = (pick: (part: Part) => number) =>
    parts
      .map(pick)
      .sort((a, b) => a - b)
      .reduce((sum, one) => sum + one, 0);
  const [answers, days, weight] = [total(({ n }) => n), total((part) => part.days), total((part) => part.weight)];
  if (answers === days || days === parts.length) return null;
  const withinDay = total(({ within }) => within) / (answers - days);
  const between = (total((part) => part.between) - (days - parts.length) * withinDay) / (answers - weight);
  const betweenDays = Math.max(0, between);
  const both = withinDay + betweenDays;
  return {
    withinDay,
    betweenDays,
    share: both < 1e-12 ? null : betweenDays / both,
    answers,
    days,
    listeners: listeners.size,
  };
}

interface Part {
  n: number;
  days: number;
  /** Σⱼ nⱼ²/n */
  weight: number;
  within: number;
  between: number;
}

function partOf(days: readonly (readonly number[])[]): Part {
  const n = days.reduce((sum, { length }) => sum + length, 0);
  const mean = meanOf(days.flat());
  let [within, between, squares] = [0, 0, 0];
  for (const values of days) {
    const own = meanOf(values);
    within += values.reduce((sum, value) => sum + (value - own) ** 2, 0);
    between += values.length * (own - mean) ** 2;
    squares += values.length ** 2;
  }
  return { n, days: days.length, weight: squares / n, within, between };
}
