import { seededRandom } from '../stats/seeded-random';
import { normalVariate } from './virtual-listener';

/**
 * How often two out of five is answered right at a distance d′ of the two samples, by whoever picks the two that leave
 * the least spread within both groups.
 *
 * There is no closed form, so it is simulated: the same 40,000 fivefold impressions for every distance, drawn with a fixed
 * seed, so that the share grows smoothly. Its standard error is at most 0.0025.
 */
export function shareOfFive(dPrime: number): number {
  const noise = impressions();
  let right = 0;
  for (let at = 0; at < noise.length; at += 5) {
    // The pair is presented first, which nobody's ear can tell.
    const [a, b, c, d, e] = noise.subarray(at, at + 5) as unknown as [number, number, number, number, number];
    if (isPair(a + dPrime, b + dPrime, c, d, e)) right++;
  }
  return right / (noise.length / 5);
}

/** The distance at which so large a share of answers is right: 0 at or below guessing, Infinity where none is wrong. */
export function dPrimeOfFive(share: number): number {
  if (share <= 1 / 10) return 0;
  let [low, high] = [0, farthest];
  if (share > shareOfFive(high)) return Number.POSITIVE_INFINITY;
  for (let step = 0; step < 24; step++) {
    const middle = (low + high) / 2;
    if (shareOfFive(middle) < share) low = middle;
    else high = middle;
  }
  return high;
}

const panels = 40_000;
/** Beyond, nobody is ever wrong in so many answers. */
const farthest = 12;
let drawn: Float64Array | null = null;

function impressions(): Float64Array {
  if (drawn === null) {
    const random = seededRandom('two out of five');
    drawn = Float64Array.from({ length: panels * 5 }, () => normalVariate(random));
  }
  return drawn;
}

/**
 * Whether the first two are the pair. On a line the best split is between neighbours: either the two lowest go together
 * or the two highest; the sums of squares of both ways are compared.
 */
function isPair(a: number, b: number, c: number, d: number, e: number): boolean {
  const [low, high] = a < b ? [a, b] : [b, a];
  const least = Math.min(c, d, e);
  const most = Math.max(c, d, e);
  const middle = c + d + e - least - most;
  // Within a group of n the sum of squares is Σx² − (Σx)²/n, and Σx² is the same for every split.
  const gain = (pair: number, three: number): number => (pair * pair) / 2 + (three * three) / 3;
  const own = gain(low + high, least + middle + most);
  if (high < least) return own > gain(middle + most, low + high + least);
  if (low > most) return own > gain(least + middle, most + low + high);
  return false;
}
