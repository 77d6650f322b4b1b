import fc from 'fast-check';
import { expect, test } from 'vitest';
import { summary } from '../../stats/summary';
import { studentTail } from './student-tail';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Case = ReferenceCase<{ values: number[]; level: number }, ReturnType<typeof summary>>;

test.each(references<Case[]>('summary'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const { quartiles, ...rest } = summary(inputs);
  const { quartiles: expectedQuartiles, ...others } = expected;
  for (const key of ['n', 'mean', 'standardDeviation', 'median', 'lower', 'upper'] as const) {
    expectClose(rest[key], others[key], tolerance, `${id} ${key}`);
  }
  for (const i of [0, 1] as const) expectClose(quartiles[i], expectedQuartiles[i], tolerance, `${id} quartile ${i}`);
});

test('the interval holds `level` of Student’s t, and median and quartiles stand at their places', () => {
  for (const level of [0.5, 0.9, 0.95, 0.999]) {
    const values = [3, 9, 1, 4, 7];
    const { mean, standardDeviation, lower, upper, median, quartiles, n } = summary({ values, level });
    const t = (upper - mean) / (standardDeviation / Math.sqrt(n));
    expectClose(2 * studentTail(t, n - 1), 1 - level, { relative: 0, absolute: 1e-10 }, `level ${level}`);
    expectClose(upper - mean, mean - lower, rounding, 'sides');
    expect([median, ...quartiles]).toEqual([4, 3, 7]);
  }
});

const ratings = fc.array(fc.integer({ min: 0, max: 100 }), { minLength: 2, maxLength: 25 });
const level = fc.double({ min: 0.05, max: 0.999, noNaN: true });

test('whoever answers first changes nothing; shift and scale carry over; wider with the level', () => {
  fc.assert(
    fc.property(
      ratings,
      level,
      fc.integer({ min: -50, max: 50 }),
      fc.integer({ min: 1, max: 9 }),
      (values, at, by, times) => {
        const plain = summary({ values, level: at });
        expect(summary({ values: [...values].sort((a, b) => b - a), level: at })).toEqual(plain);
        const moved = summary({ values: values.map((value) => times * value + by), level: at });
        const near = { relative: 1e-12, absolute: 1e-9 };
        for (const key of ['mean', 'median', 'lower', 'upper'] as const) {
          expectClose(moved[key], times * plain[key] + by, near, key);
        }
        expectClose(moved.standardDeviation, times * plain.standardDeviation, near, 'standard deviation');
        const wider = summary({ values, level: (1 + at) / 2 });
        expect(wider.lower).toBeLessThanOrEqual(plain.lower);
        expect(wider.upper).toBeGreaterThanOrEqual(plain.upper);
        expect(plain.lower).toBeLessThanOrEqual(plain.mean);
        expect(plain.quartiles[0]).toBeLessThanOrEqual(plain.median);
        expect(plain.median).toBeLessThanOrEqual(plain.quartiles[1]);
        const twice = summary({ values: [...values, ...values], level: at });
        expect(twice.upper - twice.lower).toBeLessThanOrEqual((plain.upper - plain.lower) * (1 + 1e-12));
      },
    ),
    { seed: 1, numRuns: 200 },
  );
});

test('no spread is said to be none, also where rounding left some', () => {
  expect(summary({ values: [7, 7, 7] })).toEqual({
    n: 3,
    mean: 7,
    standardDeviation: 0,
    median: 7,
    quartiles: [7, 7],
    lower: 7,
    upper: 7,
  });
  const { standardDeviation, lower, upper, mean } = summary({ values: [0.1 + 0.2, 0.3, 0.5 - 0.2] });
  expect([standardDeviation, lower, upper]).toEqual([0, mean, mean]);
});

test('far from zero no digit is lost', () => {
  const { standardDeviation, mean } = summary({ values: [1e9 + 4, 1e9 + 7, 1e9 + 13, 1e9 + 16] });
  expect(mean).toBe(1e9 + 10);
  expectClose(standardDeviation, Math.sqrt(30), rounding, 'standard deviation');
});

test('what can’t be summed up is refused', () => {
  expectRefused(() => summary({ values: [5] }), 'not-enough-data', 'values');
  expectRefused(() => summary({ values: [] }), 'not-enough-data', 'values');
  expectRefused(() => summary({ values: [5, Number.NaN] }), 'wrong-type', 'values.1');
  expectRefused(() => summary({ values: [Number.POSITIVE_INFINITY, 5] }), 'wrong-type', 'values.0');
  expectRefused(() => summary({ values: ['5', 6] as never }), 'wrong-type', 'values.0');
  expectRefused(() => summary({ values: [5, null] as never }), 'missing', 'values.1');
  expectRefused(() => summary({ values: [5, 1e16] }), 'out-of-range', 'values.1');
  expectRefused(() => summary({ values: 5 as never }), 'wrong-type', 'values');
  for (const bad of [0, 1, 95]) expectRefused(() => summary({ values: [5, 6], level: bad }), 'out-of-range', 'level');
  expectRefused(() => summary({ values: [5, 6], levels: 0.9 } as never), 'unknown-option', 'levels');
});
