import type { Estimate } from './results';

/**
 * The difference of two estimates from studies apart, with limits made of theirs: each limit goes as far from the
 * difference as the root of the squared ways from either estimate to its own limit on that side.
 *
 * Use it where only estimates and intervals are at hand, symmetric or not. Assumes that the two are independent and have
 * intervals of one level. Where the same people answered both times and incline as they did, it is wider than it need be.
 * @returns `first` less `second`; null unless both are there
 * @throws Error for intervals of two levels
 *
 * Source: Zou & Donner (2008), Statistics in Medicine 27:1693–1702; of two shares with score limits it is method 10 of
 * Newcombe (1998), Statistics in Medicine 17:873–890.
 */
export function estimateDifference(first: Estimate | null, second: Estimate | null): Estimate | null {
  if (!first || !second) return null;
  if (Math.abs(first.level - second.level) > 1e-9) throw new Error('Only intervals of one level can be subtracted.');
  const value = first.value - second.value + 0;
  return {
    name: 'difference',
    value,
    lower: value - Math.hypot(first.value - first.lower, second.upper - second.value),
    upper: value + Math.hypot(first.upper - first.value, second.value - second.lower),
    level: first.level,
  };
}
