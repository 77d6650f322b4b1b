import { normalCdf, normalDensity } from './normal';
import { scaleMixture, trapezium } from './scale-mixture';

/** Points of the inner integral: fixed, so that the normal's values at them are computed once. */
const step = 0.25;
const remembered = new Map<number, { density: number; below: number }>();

function normalAt(index: number): { density: number; below: number } {
  const known = remembered.get(index);
  if (known) return known;
  const made = { density: normalDensity(index * step), below: normalCdf(index * step) };
  remembered.set(index, made);
  return made;
}

/**
 * P(range of k standard normals ≥ w) = k ∫ φ(z) [Φ(z)ᵏ⁻¹ − (Φ(z) − Φ(z − w))ᵏ⁻¹] dz (Pearson & Hartley 1942, Biometrika
 * 32:301–310, in the complement, so that a small tail loses nothing).
 */
function normalRangeUpper(w: number, groups: number): number {
  if (w <= 0) return 1;
  const term = (index: number) => {
    const { density, below } = normalAt(index);
    const share = Math.min(1, normalCdf(index * step - w) / below);
    return density * below ** (groups - 1) * -Math.expm1((groups - 1) * Math.log1p(-share));
  };
  return Math.min(1, groups * step * trapezium(term, Math.round(w / 2 / step), 1));
}

/**
 * P(Q ≥ q) of the studentized range of `groups` means with an independent estimate of their spread; infinite degrees of
 * freedom are allowed. jstat's has 8 digits of the lower tail, so none left of a p of 1e-9.
 *
 * Accuracy: 1e-11 relative.
 */
export function studentizedRangeUpper(q: number, groups: number, degreesOfFreedom: number): number {
  if (q <= 0) return 1;
  if (degreesOfFreedom === Number.POSITIVE_INFINITY) return normalRangeUpper(q, groups);
  const near = Math.sqrt(degreesOfFreedom / (degreesOfFreedom + (q * q) / 2));
  return Math.min(
    1,
    scaleMixture((s) => normalRangeUpper(q * s, groups), degreesOfFreedom, near, q),
  );
}

const quantiles = new Map<string, number>();

/**
 * q with P(Q ≥ q) = tail, by bisection and secants on log P(Q ≥ q); remembered, since tables ask for the same one often.
 * By the upper tail, since 1 − alpha is 1 where alpha is below 1e-16.
 */
export function studentizedRangeUpperQuantile(tail: number, groups: number, degreesOfFreedom: number): number {
  const key = `${tail} ${groups} ${degreesOfFreedom}`;
  const known = quantiles.get(key);
  if (known !== undefined) return known;
  const goal = Math.log(tail);
  const gap = (q: number) => Math.log(studentizedRangeUpper(q, groups, degreesOfFreedom)) - goal;
  const q = fallingRoot(gap, 4);
  if (quantiles.size > 10_000) quantiles.clear();
  quantiles.set(key, q);
  return q;
}

/**
 * The root of a falling function of x > 0: bracketed by doubling and halving, then the Illinois rule (Dowell & Jarratt
 * 1971, BIT 11:168–174).
 */
function fallingRoot(f: (x: number) => number, start: number): number {
  let low = start;
  let high = start;
  let atLow = f(low);
  let atHigh = atLow;
  while (atHigh > 0) {
    low = high;
    atLow = atHigh;
    high *= 2;
    atHigh = f(high);
  }
  while (atLow <= 0) {
    high = low;
    atHigh = atLow;
    low /= 2;
    atLow = f(low);
  }
  let side = 0;
  for (let i = 0; i < 100 && high - low > 1e-13 * high; i++) {
    // Where the tail is 0 in doubles its logarithm says only on which side the root lies.
    const middle =
      atHigh === Number.NEGATIVE_INFINITY ? (low + high) / 2 : (low * atHigh - high * atLow) / (atHigh - atLow);
    const at = f(middle);
    if (at === 0 || middle === low || middle === high) return middle;
    if (at > 0) {
      low = middle;
      atLow = at;
      if (side === 1) atHigh /= 2;
      side = 1;
    } else {
      high = middle;
      atHigh = at;
      if (side === -1) atLow /= 2;
      side = -1;
    }
  }
  return (low + high) / 2;
}
