import { normalCdf, normalDensity, normalUpper } from './normal';

/**
 * φ(x)/P(Z ≥ x), the inverse of Mills' ratio. Beyond 4 by the continued fraction x + 1/(x + 2/(x + 3/…)) of Laplace
 * (Abramowitz & Stegun 1964, 26.2.14), which goes on where the tail itself is too small for a double.
 */
export function inverseMills(x: number): number {
  if (x < 4) return normalDensity(x) / normalUpper(x);
  let fraction = x;
  for (let k = 80; k >= 1; k--) fraction = x + k / fraction;
  return fraction;
}

/** log P(Z ≤ z). */
export function logNormalCdf(z: number): number {
  if (z > 0) return Math.log1p(-normalUpper(z));
  if (z > -30) return Math.log(normalCdf(z));
  return -0.5 * z * z - 0.5 * Math.log(2 * Math.PI) - Math.log(inverseMills(-z));
}
