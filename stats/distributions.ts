import betaCdfLower from '@stdlib/stats-base-dists-beta-cdf';
import betaInverse from '@stdlib/stats-base-dists-beta-quantile';
import binomialCdfLower from '@stdlib/stats-base-dists-binomial-cdf';
import normalCdfLower from '@stdlib/stats-base-dists-normal-cdf';
import normalInverse from '@stdlib/stats-base-dists-normal-quantile';
import tCdfLower from '@stdlib/stats-base-dists-t-cdf';
import tInverse from '@stdlib/stats-base-dists-t-quantile';
import jStat from 'jstat';

/**
 * The one door to distribution functions: whatever `stats/` asks of a distribution it asks here, so that the source and
 * accuracy of each stand in one place. Upper tails are computed as such, never as 1 − cdf, which is 0 below 1e-16.
 * Arguments are those of trusted callers: checked inputs only.
 *
 * Accuracy: 1e-12 relative, both tails, for normal, t and beta; 1e-11 for the binomial up to 1e5 trials (checked
 * against mpmath and exact fractions, tests/references/distributions.py); chi-square
 * 1e-10 in the upper tail and 1e-9 in the lower, where jstat ends, down to 1e-60.
 */

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
    z -= step;
    if (Math.abs(step) < 1e-15 * Math.abs(z)) break;
  }
  return z;
}

/** P(T ≤ t) of Student's t; the degrees of freedom need not be whole. */
export const tCdf = (t: number, degreesOfFreedom: number): number => tCdfLower(t, degreesOfFreedom);
/** P(T ≥ t) of Student's t. */
export const tUpper = (t: number, degreesOfFreedom: number): number => tCdfLower(-t, degreesOfFreedom);
/** t with P(T ≤ t) = p. */
export const tQuantile = (p: number, degreesOfFreedom: number): number => tInverse(p, degreesOfFreedom);

/** P(X ≤ x) of the beta distribution. */
export const betaCdf = (x: number, a: number, b: number): number => betaCdfLower(x, a, b);
/** P(X ≥ x) of the beta distribution. */
export const betaUpper = (x: number, a: number, b: number): number => betaCdfLower(1 - x, b, a);
/** x with P(X ≤ x) = p. */
export const betaQuantile = (p: number, a: number, b: number): number => betaInverse(p, a, b);

/**
 * P(F ≤ f), by the beta distribution (Abramowitz & Stegun 1964, 26.6.2), whose package keeps both tails: jstat has the
 * lower one only.
 */
export const fCdf = (f: number, numerator: number, denominator: number): number =>
  f <= 0 ? 0 : betaCdfLower((numerator * f) / (denominator + numerator * f), numerator / 2, denominator / 2);
/** P(F ≥ f). */
export const fUpper = (f: number, numerator: number, denominator: number): number =>
  f <= 0 ? 1 : betaCdfLower(denominator / (denominator + numerator * f), denominator / 2, numerator / 2);
/** f with P(F ≤ f) = p. */
export function fQuantile(p: number, numerator: number, denominator: number): number {
  // The smaller of the two beta values is the exact one: 1 minus it has lost nothing.
  const below = betaInverse(p, numerator / 2, denominator / 2);
  if (below <= 0.5) return (denominator * below) / (numerator * (1 - below));
  const above = betaInverse(1 - p, denominator / 2, numerator / 2);
  return (denominator * (1 - above)) / (numerator * above);
}

/** Up to so many trials every binomial coefficient is a double without rounding, so chances like ½ give exact tails. */
const fewTrials = 50;

/** P(first ≤ X ≤ last) by adding up, for few trials. */
function sumOfFew(first: number, last: number, trials: number, chance: number): number {
  let ways = 1;
  let sum = 0;
  for (let k = 0; k <= last; k++) {
    if (k >= first) sum += ways * chance ** k * (1 - chance) ** (trials - k);
    ways = (ways * (trials - k)) / (k + 1);
  }
  return Math.min(1, sum);
}

/** P(X ≤ count) of the binomial. */
export function binomialCdf(count: number, trials: number, chance: number): number {
  if (count < 0) return 0;
  if (count >= trials) return 1;
  if (trials <= fewTrials) return sumOfFew(0, count, trials, chance);
  return binomialCdfLower(count, trials, chance);
}

/** P(X ≥ count) of the binomial: I_chance(count, trials − count + 1) (Abramowitz & Stegun 1964, 26.5.24). */
export function binomialUpper(count: number, trials: number, chance: number): number {
  if (count <= 0) return 1;
  if (count > trials) return 0;
  if (trials <= fewTrials) return sumOfFew(count, trials, trials, chance);
  return betaCdfLower(chance, count, trials - count + 1);
}

/**
 * P(X = count) of the binomial, by the saddle point of Loader (2000), "Fast and accurate computation of binomial
 * probabilities" (formula from memory, checked by exact fractions): no factorial is formed, so nothing overflows or
 * cancels.
 */
export function binomialPmf(count: number, trials: number, chance: number): number {
  if (count < 0 || count > trials) return 0;
  if (chance === 0) return count === 0 ? 1 : 0;
  if (chance === 1) return count === trials ? 1 : 0;
  if (trials <= fewTrials) return sumOfFew(count, count, trials, chance);
  if (count === 0) return Math.exp(trials * Math.log1p(-chance));
  if (count === trials) return Math.exp(trials * Math.log(chance));
  const rest = trials - count;
  const log =
    stirlingRest(trials) -
    stirlingRest(count) -
    stirlingRest(rest) -
    deviancePart(count, trials * chance) -
    deviancePart(rest, trials * (1 - chance));
  return Math.exp(log) * Math.sqrt(trials / (2 * Math.PI * count * rest));
}

/** log n! − log(√(2πn)·(n/e)ⁿ): Stirling's series from 16 on (Abramowitz & Stegun 1964, 6.1.41), below by its definition. */
function stirlingRest(n: number): number {
  if (n > 15) {
    const s = 1 / (n * n);
    return (1 / 12 - (1 / 360 - (1 / 1260 - (1 / 1680 - s / 1188) * s) * s) * s) / n;
  }
  let log = 0;
  for (let i = 2; i <= n; i++) log += Math.log(i);
  return log - 0.5 * Math.log(2 * Math.PI * n) - n * Math.log(n) + n;
}

/** x·log(x/m) + m − x, by a series where the two are near and the terms would cancel. */
function deviancePart(x: number, m: number): number {
  if (Math.abs(x - m) >= 0.1 * (x + m)) return x * Math.log(x / m) + m - x;
  const v = (x - m) / (x + m);
  let sum = (x - m) * v;
  let term = 2 * x * v;
  for (let j = 1; j < 1000; j++) {
    term *= v * v;
    const next = sum + term / (2 * j + 1);
    if (next === sum) break;
    sum = next;
  }
  return sum;
}

/** log Γ(x) for x > 0, by Stirling's series after raising x above 16 (jstat's has 10 digits only). */
export function logGamma(x: number): number {
  let raised = x;
  let product = 1;
  while (raised < 17) product *= raised++;
  const n = raised - 1;
  return stirlingRest(n) + 0.5 * Math.log(2 * Math.PI * n) + n * Math.log(n) - n - Math.log(product);
}

/** P(X ≤ x) of χ²; the degrees of freedom need not be whole. */
export function chiSquareCdf(x: number, degreesOfFreedom: number): number {
  if (x <= 0) return 0;
  const a = degreesOfFreedom / 2;
  return x / 2 < a + 1 ? jStat.lowRegGamma(a, x / 2) : 1 - upperGamma(a, x / 2);
}

/** P(X ≥ x) of χ². */
export function chiSquareUpper(x: number, degreesOfFreedom: number): number {
  if (x <= 0) return 1;
  const a = degreesOfFreedom / 2;
  return x / 2 < a + 1 ? 1 - jStat.lowRegGamma(a, x / 2) : upperGamma(a, x / 2);
}

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
