import type { Random } from './random';

/** Draws that virtual listeners are made of. */

/** A standard normal variate by the polar method (Marsaglia & Bray 1964, SIAM Review 6:260–264). */
export function normalVariate(random: Random): number {
  for (;;) {
    const x = 2 * random.uniform() - 1;
    const y = 2 * random.uniform() - 1;
    const s = x * x + y * y;
    if (s > 0 && s < 1) return x * Math.sqrt((-2 * Math.log(s)) / s);
  }
}

/** A gamma variate of that shape and scale 1 (Marsaglia & Tsang 2000, ACM TOMS 26:363–372). */
export function gammaVariate(shape: number, random: Random): number {
  if (shape < 1) return gammaVariate(shape + 1, random) * (1 - random.uniform()) ** (1 / shape);
  const d = shape - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const x = normalVariate(random);
    const v = (1 + c * x) ** 3;
    if (v <= 0) continue;
    const u = 1 - random.uniform();
    if (Math.log(u) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
  }
}

/**
 * One listener's own chance of preferring the first of a pair: beta with that mean and overdispersion γ, so that the
 * answers of a panel are beta-binomial. γ = 0: everybody at the mean; γ → 1: everybody always the one or the other.
 */
export function ownShare(mean: number, gamma: number, random: Random): number {
  if (gamma <= 0) return mean;
  if (gamma >= 1 || mean <= 0 || mean >= 1) return random.uniform() < mean ? 1 : 0;
  const total = (1 - gamma) / gamma;
  const a = gammaVariate(mean * total, random);
  const b = gammaVariate((1 - mean) * total, random);
  return a + b === 0 ? mean : a / (a + b);
}
