import { deviancePart, stirlingRest } from './stirling';

/**
 * Iₓ(a, b), the lower tail of the beta distribution, given x and y = 1 − x, of which the caller knows the smaller one
 * exactly.
 *
 * The tail on the far side of the mean is the power term times a continued fraction; the other tail is its complement,
 * which is not small. The package that serves normal and t has errors up to 1e-9 here where a is large and b small, as
 * in every F test of a few items (measured against mpmath, tests/references/distributions.py).
 *
 * Accuracy: 1e-12 relative up to a + b of 1e6, tails of 1e-300 included.
 */
export function regularisedBeta(x: number, y: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (y <= 0) return 1;
  if (x <= (a + 1) / (a + b + 2)) return (powerTerm(x, y, a, b) * betaFraction(x, a, b)) / a;
  return 1 - (powerTerm(x, y, a, b) * betaFraction(y, b, a)) / b;
}

/**
 * xᵃyᵇ/B(a, b), by the saddle point of Loader (2000), "Fast and accurate computation of binomial probabilities" (formula
 * from memory): no large logarithms are subtracted.
 */
export function powerTerm(x: number, y: number, a: number, b: number): number {
  return Math.exp(exponent(x, y, a, b)) * Math.sqrt((a * b) / (2 * Math.PI * (a + b)));
}

/** The logarithm of the power term, also where the term itself would underflow. */
export const logPowerTerm = (x: number, y: number, a: number, b: number): number =>
  exponent(x, y, a, b) + Math.log((a * b) / (2 * Math.PI * (a + b))) / 2;

function exponent(x: number, y: number, a: number, b: number): number {
  const n = a + b;
  return stirlingRest(n) - stirlingRest(a) - stirlingRest(b) - deviancePart(a, n * x) - deviancePart(b, n * y);
}

/**
 * a·∫₀ˣ tᵃ⁻¹(1 − t)ᵇ⁻¹dt ÷ (xᵃ(1 − x)ᵇ): the incomplete beta function without the factor that under- or overflows, by its
 * continued fraction, evaluated from the top by Lentz's rule (1976, Applied Optics 15:668). A few dozen steps where x is
 * no more than (a + 1)/(a + b + 2), about √(a + b) near it.
 *
 * Source: Abramowitz & Stegun (1964), 26.5.8.
 */
function betaFraction(x: number, a: number, b: number): number {
  let c = 1;
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m < 1_000_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / nonZero(1 + even * d);
    c = nonZero(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / nonZero(1 + odd * d);
    c = nonZero(1 + odd / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-16) break;
  }
  return fraction;
}

const nonZero = (value: number) => (Math.abs(value) < 1e-300 ? 1e-300 : value);

/** ln of ∫₀ˣ tᵃ⁻¹(1 − t)ᵇ⁻¹dt ÷ (xᵃ(1 − x)ᵇ), for 0 < x < 1; to 1e-14 absolute. */
export const logBetaTail = (x: number, a: number, b: number): number => Math.log(betaFraction(x, a, b) / a);
