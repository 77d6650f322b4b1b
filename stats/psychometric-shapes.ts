import { logGamma, normalCdf, normalDensity, normalUpper } from './distributions';
import { deviancePart } from './stirling';

export const psychometricShapes = ['logistic', 'normal'] as const;
export type PsychometricShape = (typeof psychometricShapes)[number];

/** Answers at one level. */
export interface LevelRow {
  level: number;
  correct: number;
  trials: number;
}

/** Both sides of F at x, its density and how fast that grows. */
export interface Point {
  below: number;
  above: number;
  density: number;
  bend: number;
}

/** F by its name. */
export const shapes: Record<PsychometricShape, (x: number) => Point> = {
  logistic: (x) => {
    const small = Math.exp(-Math.abs(x));
    const [less, more] = [small / (1 + small), 1 / (1 + small)];
    const [below, above] = x < 0 ? [less, more] : [more, less];
    const density = less * more;
    return { below, above, density, bend: density * (above - below) };
  },
  normal: (x) => {
    const density = normalDensity(x);
    return { below: normalCdf(x), above: normalUpper(x), density, bend: -x * density };
  },
};

/** Log likelihood that a row with its own share has more than one with p, right, and q, wrong; q is 1 − p. */
export function lostOf({ correct, trials }: LevelRow, p: number, q: number): number {
  const wrong = trials - correct;
  const part = (count: number, share: number) => {
    const expected = trials * share;
    if (count === 0) return expected;
    return expected === 0 ? Number.POSITIVE_INFINITY : deviancePart(count, expected);
  };
  return part(correct, p) + part(wrong, q);
}

/** Log likelihood of a row at its own share. */
export function ownLogLik({ correct, trials }: LevelRow): number {
  const wrong = trials - correct;
  const part = (count: number) => (count === 0 ? 0 : count * Math.log(count / trials));
  return logGamma(trials + 1) - logGamma(correct + 1) - logGamma(wrong + 1) + part(correct) + part(wrong);
}
