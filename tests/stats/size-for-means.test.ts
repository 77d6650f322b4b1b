import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type SizeForMeansInput, sizeForMeans } from '../../stats/size-for-means';
import { studentTail } from './student-tail';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<SizeForMeansInput, { listeners: number; power: number }>;

test.each(references<Case[]>('size-for-means'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const { listeners, power } = sizeForMeans(inputs);
  expect(listeners, id).toBe(expected.listeners);
  expectClose(power, expected.power, tolerance, `${id} power`);
});

/**
 * Power of the paired t test by its definition, for n listeners: differences with mean `effect` and standard deviation 1
 * have a mean that is normal and an s² that is χ²/(n − 1); Simpson's rule over both, so no non-central t is asked.
 */
function powerByDefinition(n: number, effect: number, critical: number, sides: 1 | 2): number {
  const degrees = n - 1;
  const grid = (low: number, high: number, f: (x: number) => number) => {
    const intervals = 400;
    const step = (high - low) / intervals;
    let total = 0;
    for (let i = 0; i <= intervals; i++) total += (i === 0 || i === intervals ? 1 : i % 2 ? 4 : 2) * f(low + i * step);
    return (total * step) / 3;
  };
  const chi = (s: number) => s ** (degrees - 1) * Math.exp((-degrees * (s * s - 1)) / 2);
  const spread = 10 / Math.sqrt(2 * degrees);
  const [low, high] = [Math.max(0, 1 - spread), 1 + spread];
  const normal = (z: number) => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
  const above = (z: number) => (z > 9 ? 0 : z < -9 ? 1 : grid(z, 9, normal));
  const shift = effect * Math.sqrt(n);
  const found = (s: number) => above(critical * s - shift) + (sides === 2 ? above(critical * s + shift) : 0);
  return grid(low, high, (s) => chi(s) * found(s)) / grid(low, high, chi);
}

/** t with P(T ≥ t) = tail, by halving on Simpson's tail. */
function criticalT(tail: number, degrees: number): number {
  let [low, high] = [-1000, 1000];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (studentTail(middle, degrees) > tail) low = middle;
    else high = middle;
  }
  return low;
}

test.each([
  [0.7, 0.05, 0.2, 'two-sided'],
  [0.9, 0.1, 0.1, 'greater'],
  [1.4, 0.01, 0.3, 'two-sided'],
] as const)(
  'effect %s, alpha %s, beta %s, %s: enough by the definition, and one fewer is not',
  (effect, alpha, beta, alternative) => {
    const { listeners, power } = sizeForMeans({
      standardDeviation: 2,
      difference: 2 * effect,
      alpha,
      beta,
      alternative,
    });
    const sides = alternative === 'two-sided' ? 2 : 1;
    const by = (n: number) => powerByDefinition(n, effect, criticalT(alpha / sides, n - 1), sides);
    expectClose(power, by(listeners), { relative: 0, absolute: 1e-7 }, 'power');
    expect(by(listeners)).toBeGreaterThanOrEqual(1 - beta);
    expect(by(listeners - 1)).toBeLessThan(1 - beta);
  },
);

const effect = fc.double({ min: 0.05, max: 4, noNaN: true });
const risk = fc.double({ min: 0.001, max: 0.5, noNaN: true });

test('only the ratio counts, either side is alike, and asking for more takes more listeners', () => {
  fc.assert(
    fc.property(effect, risk, risk, (difference, alpha, beta) => {
      const input = { standardDeviation: 1, difference, alpha, beta };
      const plain = sizeForMeans(input);
      expect(plain.power).toBeGreaterThanOrEqual(1 - beta);
      expect(sizeForMeans({ ...input, difference: -difference })).toEqual(plain);
      expect(sizeForMeans({ ...input, standardDeviation: 4, difference: 4 * difference })).toEqual(plain);
      const up = sizeForMeans({ ...input, alternative: 'greater' });
      expect(sizeForMeans({ ...input, difference: -difference, alternative: 'less' })).toEqual(up);
      expect(up.listeners).toBeLessThanOrEqual(plain.listeners);
      expect(sizeForMeans({ ...input, difference: difference / 2 }).listeners).toBeGreaterThanOrEqual(plain.listeners);
      expect(sizeForMeans({ ...input, alpha: alpha / 2 }).listeners).toBeGreaterThanOrEqual(plain.listeners);
      expect(sizeForMeans({ ...input, beta: beta / 2 }).listeners).toBeGreaterThanOrEqual(plain.listeners);
    }),
    { seed: 1, numRuns: 40 },
  );
});

test('extremes: two listeners at the least, tiny risks, more listeners than there are', () => {
  expect(sizeForMeans({ standardDeviation: 1, difference: 1000 })).toEqual({ listeners: 2, power: 1 });
  const strict = sizeForMeans({ standardDeviation: 1, difference: 5, alpha: 1e-9, beta: 1e-20 });
  expect(strict.listeners).toBeGreaterThan(15);
  expect(strict.power).toBe(1);
  // Risks so high that chance alone meets them.
  expect(sizeForMeans({ standardDeviation: 1, difference: 1e-9, alpha: 0.5, beta: 0.7 }).listeners).toBe(2);
  expect(sizeForMeans({ standardDeviation: 1, difference: 0.004 }).listeners).toBe(812172);
  expectRefused(() => sizeForMeans({ standardDeviation: 1, difference: 0.003 }), 'unreachable', 'difference');
});

test('a difference that isn’t there, or on the other side, is refused', () => {
  const run = (more: object) => () => sizeForMeans({ standardDeviation: 1, difference: 1, ...more });
  expectRefused(run({ difference: 0 }), 'inconsistent', 'difference');
  expectRefused(run({ alternative: 'less' }), 'inconsistent', 'difference');
  expectRefused(run({ difference: -1, alternative: 'greater' }), 'inconsistent', 'difference');
});

test('bad input is refused, naming the field', () => {
  const run = (more: object) => () => sizeForMeans({ standardDeviation: 1, difference: 1, ...more });
  for (const bad of [0, -1, 1e-4]) expectRefused(run({ standardDeviation: bad }), 'out-of-range', 'standardDeviation');
  expectRefused(run({ standardDeviation: undefined }), 'missing', 'standardDeviation');
  expectRefused(run({ standardDeviation: '1' }), 'wrong-type', 'standardDeviation');
  expectRefused(run({ difference: Number.NaN }), 'wrong-type', 'difference');
  expectRefused(run({ difference: Number.POSITIVE_INFINITY }), 'wrong-type', 'difference');
  for (const bad of [0, 1, 5]) {
    expectRefused(run({ alpha: bad }), 'out-of-range', 'alpha');
    expectRefused(run({ beta: bad }), 'out-of-range', 'beta');
  }
  expectRefused(run({ alternative: 'two.sided' }), 'unknown-choice', 'alternative');
  expectRefused(run({ power: 0.8 }), 'unknown-option', 'power');
});
