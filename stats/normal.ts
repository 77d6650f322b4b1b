import normalCdfLower from '@stdlib/stats-base-dists-normal-cdf';
import normalInverse from '@stdlib/stats-base-dists-normal-quantile';

/** P(Z ≤ z) of the standard normal. */
export const normalCdf = (z: number): number => normalCdfLower(z, 0, 1);
/** P(Z ≥ z) of the standard normal, right also where it is 1e-300. */
export const normalUpper = (z: number): number => normalCdfLower(-z, 0, 1);
/** The density of the standard normal. */
export const normalDensity = (z: number): number => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);

/** z with P(Z ≤ z) = p, for 0 < p < 1. */
export function normalQuantile(p: number): number {
  if (p > 0.01) return normalInverse(p, 0, 1);
  // The package's inverse loses digits far out (1e-9 at 1e-11, −∞ at 1e-300): Newton's rule on log P, nearly straight there.
  let z = p > 1e-10 ? normalInverse(p, 0, 1) : -Math.sqrt(-2 * Math.log(p));
  for (let i = 0; i < 50; i++) {
    const below = normalCdf(z);
    const step = ((Math.log(below) - Math.log(p)) * below) / normalDensity(z);
    if (!Number.isFinite(step)) break; // p below the smallest normal double: the start is as good as it gets
    z -= step;
    if (Math.abs(step) < 1e-15 * Math.abs(z)) break;
  }
  return z;
}
