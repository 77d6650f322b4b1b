import type { SentAnswer } from './protocol';

/** Answers that name samples by their place in the trial, from 1. */

/** The place that was picked, out of those that may be; null when it is none of them. */
export function readPlace<Place extends number>(sent: SentAnswer, allowed: readonly Place[]): Place | null {
  if (!('picked' in sent)) return null;
  return allowed.find((place) => String(place) === sent.picked) ?? null;
}

/** Two places in order, joined by `+`; null when they are none of so many, or not in order. */
export function readPair(sent: SentAnswer, presentations: number): [number, number] | null {
  if (!('picked' in sent)) return null;
  const [, first, second] = /^([1-9])\+([1-9])$/.exec(sent.picked)?.map(Number) ?? [];
  if (first === undefined || second === undefined || first >= second || second > presentations) return null;
  return [first, second];
}

/** All pairs of places, the lower one first. */
export function pairsOfPlaces(presentations: number): [number, number][] {
  const pairs: [number, number][] = [];
  for (let a = 1; a <= presentations; a++) for (let b = a + 1; b <= presentations; b++) pairs.push([a, b]);
  return pairs;
}
