import { centred, largest, sum } from './moments';

/** A correlation, and how far it is from 1 and −1, which near them tells more digits than the value itself. */
export interface ProductMoment {
  r: number;
  /** 1 − r. */
  fromOne: number;
  /** 1 + r. */
  fromMinusOne: number;
}

const rounding = 16 * Number.EPSILON;

/**
 * Pearson's correlation of two lists of equal length, without checks: the product of their deviations, each scaled to
 * length 1; 1 − r is half the squared distance between the two, 1 + r that between one and the other's reverse.
 * Exactly ±1 where only rounding is left to miss it; `null` where one of the lists is constant but for rounding.
 */
export function productMoment(first: readonly number[], second: readonly number[]): ProductMoment | null {
  const u = unit(first);
  const v = unit(second);
  if (u === null || v === null) return null;
  const half = (other: number) => sum(u.values.map((x, i) => (x - other * (v.values[i] as number)) ** 2)) / 2;
  const noise = first.length * (u.noise ** 2 + v.noise ** 2);
  const fromOne = half(1);
  const fromMinusOne = half(-1);
  if (fromOne <= noise) return { r: 1, fromOne: 0, fromMinusOne: 2 };
  if (fromMinusOne <= noise) return { r: -1, fromOne: 2, fromMinusOne: 0 };
  const r = sum(u.values.map((x, i) => x * (v.values[i] as number)));
  return { r: Math.min(1, Math.max(-1, r)), fromOne, fromMinusOne };
}

/** Deviations scaled to length 1, and what rounding of the input is on that scale. */
function unit(list: readonly number[]): { values: number[]; noise: number } | null {
  const deviations = centred(list);
  const spread = largest(deviations);
  const error = rounding * largest(list);
  if (spread <= error) return null;
  const scaled = deviations.map((value) => value / spread);
  const length = Math.sqrt(sum(scaled.map((value) => value ** 2)));
  return { values: scaled.map((value) => value / length), noise: error / spread / length };
}
