import {
  betaCdf,
  betaQuantile,
  betaUpper,
  binomialCdf,
  binomialUpper,
  chiSquareCdf,
  chiSquareUpper,
  fCdf,
  fQuantile,
  fUpper,
  normalCdf,
  normalQuantile,
  normalUpper,
  tCdf,
  tQuantile,
  tUpper,
} from '../../stats/distributions';
import known from '../references/accuracy.json';

interface Point {
  at: number[];
  lower: number;
  upper: number;
}

/** The largest relative error of one distribution over its reference points. */
export interface Accuracy {
  name: string;
  points: number;
  lower: number;
  upper: number;
  /** Of the probability at the quantile; not for those without one. */
  quantile: number | null;
}

type Tail = (...at: number[]) => number;
type Quantile = (p: number, ...rest: number[]) => number;

const distributions: [string, Point[], Tail, Tail, Quantile | null][] = [
  ['normal', known.normal, normalCdf, normalUpper, normalQuantile],
  ['t', known.t, tCdf, tUpper, tQuantile],
  ['beta', known.beta, betaCdf, betaUpper, betaQuantile],
  ['binomial', known.binomial, binomialCdf, binomialUpper, null],
  ['χ²', known.chiSquare, chiSquareCdf, chiSquareUpper, null],
  ['F', known.f, fCdf, fUpper, fQuantile],
];

/** Measures every distribution against the points of tests/references/accuracy.json. */
export function measuredAccuracy(): Accuracy[] {
  return distributions.map(([name, points, lower, upper, quantile]) => {
    const worst = (error: (point: Point) => number) => Math.max(...points.map(error));
    return {
      name,
      points: points.length,
      lower: worst(({ at, lower: expected }) => off(lower(...at), expected)),
      upper: worst(({ at, upper: expected }) => off(upper(...at), expected)),
      quantile: quantile && worst(({ at, lower: p }) => turned(p, at, lower, upper, quantile)),
    };
  });
}

const off = (got: number, expected: number) => Math.abs(got / expected - 1);

/** How far the probability at the quantile is from the one asked for, in the smaller tail. */
function turned(p: number, [, ...rest]: number[], lower: Tail, upper: Tail, quantile: Quantile): number {
  if (p < 1e-200 || p > 0.9999) return 0;
  const x = quantile(p, ...rest);
  return p <= 0.5 ? off(lower(x, ...rest), p) : off(upper(x, ...rest), 1 - p);
}
