import betaInverse from '@stdlib/stats-base-dists-beta-quantile';
import tCdfLower from '@stdlib/stats-base-dists-t-cdf';
import tInverse from '@stdlib/stats-base-dists-t-quantile';
import jStat from 'jstat';
import { powerTerm, regularisedBeta } from './incomplete-beta';
import { logGamma } from './stirling';

export {
  binomialCdf,
  binomialCdfFrom,
  binomialPmf,
  binomialUpper,
  binomialUpperFrom,
  equallyProbable,
} from './binomial';
export { nonCentralTCdf, nonCentralTUpper } from './non-central-t';
export { normalCdf, normalDensity, normalQuantile, normalUpper } from './normal';
export { logGamma } from './stirling';
export { studentizedRangeUpper, studentizedRangeUpperQuantile } from './studentized-range';

/**
 * The one door to distribution functions: whatever `stats/` asks of a distribution it asks here, so that the source and
 * accuracy of each stand in one place. Upper tails are computed as such, never as 1 − cdf, which is 0 below 1e-16.
 * Arguments are those of trusted callers: checked inputs only.
 *
 * Accuracy: the table in DEVELOPERS.md, which `node tests/bench/bench.mjs accuracy` measures and a test holds.
 */

/** P(T ≤ t) of Student's t; the degrees of freedom need not be whole. */
export const tCdf = (t: number, degreesOfFreedom: number): number => tCdfLower(t, degreesOfFreedom);
/** P(T ≥ t) of Student's t. */
export const tUpper = (t: number, degreesOfFreedom: number): number => tCdfLower(-t, degreesOfFreedom);
/** t with P(T ≤ t) = p. With one degree of freedom the package's is −∞ from 1e-155 on, where t is −1/(πp). */
export const tQuantile = (p: number, degreesOfFreedom: number): number =>
  degreesOfFreedom === 1 && p < 1e-100 ? -1 / (Math.PI * p) : tInverse(p, degreesOfFreedom);

/** P(X ≤ x) of the beta distribution. */
export const betaCdf = (x: number, a: number, b: number): number => regularisedBeta(x, 1 - x, a, b);
/** P(X ≥ x) of the beta distribution. */
export const betaUpper = (x: number, a: number, b: number): number => regularisedBeta(1 - x, x, b, a);
/** x with P(X ≤ x) = p: the package's, which has some 10 digits, and Newton's rule in the smaller tail for the rest. */
export function betaQuantile(p: number, a: number, b: number): number {
  let x = betaInverse(p, a, b);
  if (!(x > 0 && x < 1)) return x;
  for (let i = 0; i < 5; i++) {
    const excess = p <= 0.5 ? betaCdf(x, a, b) - p : 1 - p - betaUpper(x, a, b);
    const next = x - (excess * x * (1 - x)) / powerTerm(x, 1 - x, a, b);
    if (!(next > 0 && next < 1)) break;
    const moved = Math.abs(next - x);
    x = next;
    if (moved <= 1e-15 * x) break;
  }
  return x;
}

/** P(F ≤ f), by the beta distribution (Abramowitz & Stegun 1964, 26.6.2): jstat has the lower tail only. */
export const fCdf = (f: number, numerator: number, denominator: number): number => {
  const { of, rest } = shares(f * numerator, denominator);
  return regularisedBeta(of, rest, numerator / 2, denominator / 2);
};
/** P(F ≥ f). */
export const fUpper = (f: number, numerator: number, denominator: number): number => {
  const { of, rest } = shares(f * numerator, denominator);
  return regularisedBeta(rest, of, denominator / 2, numerator / 2);
};
/** a/(a + b) and b/(a + b), neither by subtraction. */
const shares = (a: number, b: number) => ({ of: a / (a + b), rest: b / (a + b) });

/** f with P(F ≤ f) = p. */
export function fQuantile(p: number, numerator: number, denominator: number): number {
  // The smaller of the two beta values is the exact one: 1 minus it has lost nothing.
  const below = betaQuantile(p, numerator / 2, denominator / 2);
  if (below <= 0.5) return (denominator * below) / (numerator * (1 - below));
  const above = betaQuantile(1 - p, denominator / 2, numerator / 2);
  return (denominator * (1 - above)) / (numerator * above);
}

/** P(X ≤ x) of χ²; the degrees of freedom need not be whole. */
export function chiSquareCdf(x: number, degreesOfFreedom: number): number {
  if (x <= 0) return 0;
  const a = degreesOfFreedom / 2;
  return x / 2 < a + 1 ? lowerGamma(a, x / 2) : 1 - upperGamma(a, x / 2);
}

/** P(X ≥ x) of χ². */
export function chiSquareUpper(x: number, degreesOfFreedom: number): number {
  if (x <= 0) return 1;
  const a = degreesOfFreedom / 2;
  return x / 2 < a + 1 ? 1 - lowerGamma(a, x / 2) : upperGamma(a, x / 2);
}

/** P(a, x): jstat's series, whose own log Γ has ten digits, with the right one in its place. */
const lowerGamma = (a: number, x: number): number => jStat.lowRegGamma(a, x) * Math.exp(jStat.gammaln(a) - logGamma(a));

/**
 * Q(a, x) for x ≥ a + 1 by the continued fraction of Abramowitz & Stegun (1964), 6.5.31, evaluated from the top by
 * Lentz's rule (1976, Applied Optics 15:668): jstat has the lower tail only.
 */
function upperGamma(a: number, x: number): number {
  const tiny = 1e-300;
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let fraction = d;
  for (let i = 1; i < 10_000; i++) {
    const numerator = -i * (i - a);
    b += 2;
    d = numerator * d + b;
    if (Math.abs(d) < tiny) d = tiny;
    c = b + numerator / c;
    if (Math.abs(c) < tiny) c = tiny;
    d = 1 / d;
    const factor = d * c;
    fraction *= factor;
    if (Math.abs(factor - 1) < 1e-16) break;
  }
  return Math.exp(-x + a * Math.log(x) - logGamma(a)) * fraction;
}
