import { normalCdf, normalDensity, normalUpper } from './distributions';
import { owensT, owensTLost } from './owens-t';

/** Methods of asking whose share of right answers follows from d′. */
export const thurstonianMethods = [
  '2-afc',
  '3-afc',
  'triangle',
  'duo-trio',
  'tetrad',
  'abx-differencing',
  'abx-independent',
  'same-different-independent',
] as const;
export type ThurstonianMethod = (typeof thurstonianMethods)[number];

/**
 * How the probability of a right answer grows with d′ ≥ 0, for listeners whose impressions of the two samples are normal
 * with the same spread, 1, and means d′ apart. What is above chance and what is left to 1 are given each by itself, so
 * that neither loses its digits where it is small.
 */
export interface PsychometricFunction {
  /** One in so many is right by guessing. */
  answers: 2 | 3;
  /** Probability of a right answer, less the one by guessing. */
  above(d: number): number;
  /** Probability of a wrong answer. */
  wrong(d: number): number;
  /** How fast the probability of a right answer grows, per unit of d′. */
  slope(d: number): number;
  /** Wrong answers die out about as exp(−(d/scale)²/2). */
  scale: number;
}

/**
 * Each in closed form of the normal distribution and Owen's T. The sources give two of them as integrals over the
 * impressions; rotated in the plane of the differences they become the area of a wedge, which is a sum of T (derived for
 * this file, checked by the integrals in its tests): triangle, 1 − 4·T(d/√6, √3); tetrad, 1 − 8·T(d/√2, 1/√3); 3-AFC,
 * two differences correlated by one half, Φ(d/√2) − 2·T(d/√2, 1/√3).
 *
 * Accuracy: 1e-13 relative, of what is above chance and of what is wrong.
 * Source: Green & Swets (1966), Signal Detection Theory and Psychophysics (m-AFC); Ennis (1993), Journal of Sensory
 * Studies 8:353–370 (triangle, duo-trio, 3-AFC); Ennis, Ennis, Palen & O'Mahony (1998), British Journal of Mathematical
 * and Statistical Psychology 51:205–215 (tetrad, samples not named); Macmillan & Creelman (2005), Detection Theory,
 * chapter 9 (ABX, same-different); formulas from memory.
 */
export const thurstonian: Readonly<Record<ThurstonianMethod, PsychometricFunction>> = {
  '2-afc': {
    answers: 2,
    above: (d) => fromCentre(d / Math.SQRT2),
    wrong: (d) => normalUpper(d / Math.SQRT2),
    slope: (d) => normalDensity(d / Math.SQRT2) / Math.SQRT2,
    scale: Math.SQRT2,
  },
  '3-afc': {
    answers: 3,
    above: (d) => fromCentre(d / Math.SQRT2) + 2 * owensTLost(d / Math.SQRT2, 1 / Math.sqrt(3)),
    wrong: (d) => normalUpper(d / Math.SQRT2) + 2 * owensT(d / Math.SQRT2, 1 / Math.sqrt(3)),
    slope: (d) => Math.SQRT2 * normalDensity(d / Math.SQRT2) * normalCdf(d / Math.sqrt(6)),
    scale: Math.SQRT2,
  },
  triangle: {
    answers: 3,
    above: (d) => 4 * owensTLost(d / Math.sqrt(6), Math.sqrt(3)),
    wrong: (d) => 4 * owensT(d / Math.sqrt(6), Math.sqrt(3)),
    slope: (d) => (4 / Math.sqrt(6)) * normalDensity(d / Math.sqrt(6)) * fromCentre(d / Math.SQRT2),
    scale: Math.sqrt(6),
  },
  'duo-trio': bothOrNeither(Math.SQRT2, Math.sqrt(6)),
  tetrad: {
    answers: 3,
    above: (d) => 8 * owensTLost(d / Math.SQRT2, 1 / Math.sqrt(3)),
    wrong: (d) => 8 * owensT(d / Math.SQRT2, 1 / Math.sqrt(3)),
    slope: (d) => 4 * Math.SQRT2 * normalDensity(d / Math.SQRT2) * fromCentre(d / Math.sqrt(6)),
    scale: Math.SQRT2,
  },
  'abx-differencing': bothOrNeither(Math.SQRT2, Math.sqrt(6)),
  'abx-independent': bothOrNeither(Math.SQRT2, 2),
  'same-different-independent': bothOrNeither(2, 2),
};

/** Right where two comparisons both come out right or both wrong: Φ(d/a)·Φ(d/b) + Φ(−d/a)·Φ(−d/b). */
function bothOrNeither(a: number, b: number): PsychometricFunction {
  return {
    answers: 2,
    above: (d) => 2 * fromCentre(d / a) * fromCentre(d / b),
    wrong: (d) => normalCdf(d / a) * normalUpper(d / b) + normalUpper(d / a) * normalCdf(d / b),
    slope: (d) => 2 * ((normalDensity(d / a) * fromCentre(d / b)) / a + (normalDensity(d / b) * fromCentre(d / a)) / b),
    scale: Math.max(a, b),
  };
}

/** Φ(z) − ½ for z ≥ 0, without loss near zero: the series of Abramowitz & Stegun (1964), 26.2.11. */
function fromCentre(z: number): number {
  if (z > 1) return normalCdf(z) - 0.5;
  let term = z;
  let sum = z;
  for (let odd = 3; term > sum * 1e-17; odd += 2) {
    term *= (z * z) / odd;
    sum += term;
  }
  return normalDensity(z) * sum;
}

/** The probability of a right answer at d′, without checks. */
export function proportionAt(method: ThurstonianMethod, d: number): number {
  const { answers, above, wrong } = thurstonian[method];
  const left = wrong(d);
  return left > (1 - 1 / answers) / 2 ? 1 / answers + above(d) : 1 - left;
}

/**
 * The d′ at which the probability of a right answer is so far above chance and so far from 1, without checks: 0 where it
 * is not above chance, Infinity where none is wrong. Newton's rule on the logarithm of whichever is smaller: nearly
 * straight in log d near chance, nearly a parabola in d far out, so a few steps suffice. For either down to 1e-200.
 */
export function dPrimeAt(method: ThurstonianMethod, above: number, wrong: number): number {
  const f = thurstonian[method];
  if (above <= 0) return 0;
  if (wrong <= 0) return Number.POSITIVE_INFINITY;
  const small = above < wrong;
  let d = small ? 1 : f.scale * Math.sqrt(-2 * Math.log(wrong));
  for (let round = 0; round < 100; round++) {
    const value = small ? f.above(d) : f.wrong(d);
    const step = small ? Math.log(above / value) : Math.log(value / wrong);
    const next = small ? d * Math.exp((step * value) / (d * f.slope(d))) : d + (step * value) / f.slope(d);
    const moved = Math.abs(next - d);
    d = next;
    if (moved <= 4e-16 * d) break;
  }
  return d;
}
