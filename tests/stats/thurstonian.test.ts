import fc from 'fast-check';
import { expect, test } from 'vitest';
import { seededRandom } from '../../stats/seeded-random';
import {
  dPrimeAt,
  proportionAt,
  type ThurstonianMethod,
  thurstonian,
  thurstonianMethods,
} from '../../stats/thurstonian';
import { expectClose, references, type Tolerance } from './support';

const known = references<{
  tolerance: Tolerance;
  points: { method: ThurstonianMethod; dPrime: number; above: number; wrong: number }[];
}>('thurstonian');

test('the printed integrals in 60 digits, near chance and near all right', () => {
  for (const { method, dPrime, above, wrong } of known.points) {
    const what = `${method} at ${dPrime}`;
    expectClose(thurstonian[method].above(dPrime), above, known.tolerance, `${what}, above chance`);
    expectClose(thurstonian[method].wrong(dPrime), wrong, known.tolerance, `${what}, wrong`);
    expectClose(dPrimeAt(method, above, wrong), dPrime, known.tolerance, `${what}, inverse`);
  }
});

/** The rule by which a listener answers, acted out on impressions drawn at random: true where the answer is right. */
const rules: Record<ThurstonianMethod, (impression: (mean: number) => number, d: number, toss: boolean) => boolean> = {
  '2-afc': (x, d) => x(d) > x(0),
  '3-afc': (x, d) => x(d) > Math.max(x(0), x(0)),
  triangle: (x, d) => {
    const [a, b, odd] = [x(0), x(0), x(d)];
    return Math.abs(a - b) < Math.min(Math.abs(a - odd), Math.abs(b - odd));
  },
  'duo-trio': (x, d) => {
    const reference = x(0);
    return Math.abs(x(0) - reference) < Math.abs(x(d) - reference);
  },
  tetrad: (x, d) => {
    const [a, b, c, e] = [x(0), x(0), x(d), x(d)];
    return Math.max(a, b) < Math.min(c, e) || Math.max(c, e) < Math.min(a, b);
  },
  'abx-differencing': (x, d) => {
    const [a, b, asked] = [x(0), x(d), x(0)];
    return Math.abs(asked - a) < Math.abs(asked - b);
  },
  // First which of A and B is the fuller, then on which side of the middle X is.
  'abx-independent': (x, d, toss) => x(0) < x(d) === (toss ? x(0) < d / 2 : x(d) > d / 2),
  // Each sample is put on one side of the middle; the answer is whether both are on the same side.
  'same-different-independent': (x, d, same) => {
    const [first, second] = [x(0), x(same ? 0 : d)].map((at) => at < d / 2);
    return (first === second) === same;
  },
};

test.each(thurstonianMethods)('%s: listeners who follow the rule are right so often', (method) => {
  const random = seededRandom(`rule of ${method}`);
  const impression = (mean: number) =>
    mean + Math.sqrt(-2 * Math.log(1 - random.uniform())) * Math.cos(2 * Math.PI * random.uniform());
  for (const d of [0, 0.8, 2]) {
    const n = 20_000;
    let right = 0;
    for (let i = 0; i < n; i++) if (rules[method](impression, d, i % 2 === 0)) right++;
    const p = proportionAt(method, d);
    // Four standard errors; the seed is fixed.
    expectClose(right / n, p, { relative: 0, absolute: 4 * Math.sqrt((p * (1 - p)) / n) }, `${method} at ${d}`);
  }
});

/**
 * P(F′ ≤ 3) for the non-central F with 1 and 1 degrees of freedom: a Poisson mixture of central ones, each an incomplete
 * beta that follows from the one before.
 */
function nonCentralF3(ncp: number): number {
  let beta = 2 / 3;
  let term = Math.sqrt(0.75) * 0.5 * (2 / Math.PI);
  let weight = Math.exp(-ncp / 2);
  let sum = 0;
  for (let j = 0; j < 400; j++) {
    sum += weight * beta;
    beta -= term;
    term *= (0.75 * (j + 1)) / (j + 1.5);
    weight *= ncp / 2 / (j + 1);
  }
  return sum;
}

test('triangle: one minus the non-central F at 3 with non-centrality 2d²/3', () => {
  for (let d = 0; d <= 14; d += 0.25) {
    const expected = 1 - nonCentralF3((2 * d * d) / 3);
    expectClose(proportionAt('triangle', d), expected, { relative: 0, absolute: 1e-12 }, `d ${d}`);
  }
});

test('duo-trio and ABX by differencing are the same function', () => {
  for (let d = 0; d < 20; d += 0.1) expect(proportionAt('duo-trio', d)).toBe(proportionAt('abx-differencing', d));
});

const anyMethod = fc.constantFrom(...thurstonianMethods);

test('d′ and the proportion invert each other, from hardly anything to one wrong answer in 1e300', () => {
  fc.assert(
    fc.property(anyMethod, fc.double({ min: -9, max: 1.5, noNaN: true }), (method, power) => {
      const d = 10 ** power;
      const { above, wrong } = thurstonian[method];
      fc.pre(wrong(d) > 1e-300);
      expectClose(dPrimeAt(method, above(d), wrong(d)), d, { relative: 1e-13, absolute: 0 }, `${method} ${d}`);
    }),
    { seed: 11, numRuns: 400 },
  );
});

test('the proportion grows with d′ from chance to 1, never beyond; right and wrong add up; the slope is the growth', () => {
  for (const method of thurstonianMethods) {
    const { answers, above, wrong, slope } = thurstonian[method];
    expect(proportionAt(method, 0)).toBe(1 / answers);
    let before = 0;
    for (let d = 0; d < 16; d += 0.04) {
      const p = proportionAt(method, d);
      expect(p >= before && p <= 1, `${method} ${d}`).toBe(true);
      before = p;
    }
    for (const d of [1e6, 1e200, Number.MAX_VALUE]) expect(proportionAt(method, d)).toBe(1);
    for (const d of [0.05, 0.4, 1, 2, 3.5, 5]) {
      expectClose(1 / answers + above(d) + wrong(d), 1, { relative: 1e-14, absolute: 0 }, `${method} ${d} sum`);
      const step = 1e-3;
      const rises = [1, 2].map((k) => (wrong(d - k * step) - wrong(d + k * step)) / (2 * k * step));
      const growth = (4 * (rises[0] as number) - (rises[1] as number)) / 3;
      expectClose(slope(d), growth, { relative: 1e-9, absolute: 1e-12 }, `${method} ${d} slope`);
    }
  }
});

test('at and below chance there is no distance, with none wrong no end to it', () => {
  for (const method of thurstonianMethods) {
    expect(dPrimeAt(method, 0, 0.5)).toBe(0);
    expect(dPrimeAt(method, -0.1, 0.6)).toBe(0);
    expect(dPrimeAt(method, 0.5, 0)).toBe(Number.POSITIVE_INFINITY);
  }
});
