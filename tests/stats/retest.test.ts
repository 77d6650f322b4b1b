import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type RetestInput, retest } from '../../stats/retest';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  RetestInput,
  {
    bias: number;
    lowerLimit: number;
    upperLimit: number;
    withinSd: number;
    repeatabilityWithTwo: number;
    sd: number;
    lowerWithTwo: number;
    upperWithTwo: number;
  }
>;

// The 97.5 % point of the normal distribution; its first digits stand in Abramowitz & Stegun (1964), table 26.5, the rest
// is from memory.
const z = 1.959963984540054;

test.each(references<Case[]>('retest'))('$id', ({ inputs, expected, tolerance, published, id }) => {
  const got = retest(inputs);
  for (const field of ['bias', 'lowerLimit', 'upperLimit', 'withinSd'] as const) {
    expectClose(got[field], expected[field], tolerance, `${id} ${field}`);
  }
  expectClose(got.repeatability, (1.96 / 2) * expected.repeatabilityWithTwo, tolerance, `${id} repeatability`);
  // The paper takes 2 for 1.96.
  const sd = (got.upperLimit - got.lowerLimit) / (2 * z);
  const withTwo = { bias: got.bias, sd, lowerWithTwo: got.bias - 2 * sd, upperWithTwo: got.bias + 2 * sd };
  for (const [field, value] of Object.entries(withTwo)) {
    expectClose(value, Reflect.get(expected, field), tolerance, `${id} ${field}`);
    const printed = published?.[field];
    if (printed) expectClose(value, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
  }
});

const measured = fc.array(fc.tuple(fc.integer({ min: -99, max: 99 }), fc.integer({ min: -99, max: 99 })), {
  minLength: 2,
  maxLength: 12,
});
const near = { relative: 1e-10, absolute: 1e-10 };

test('spread by pairs of differences, and the root mean square split into bias and spread', () => {
  fc.assert(
    fc.property(measured, (pairs) => {
      const n = pairs.length;
      const differences = pairs.map(([a, b]) => a - b);
      let squares = 0;
      for (const a of differences) for (const b of differences) squares += (a - b) ** 2 / 2;
      const sd = Math.sqrt(squares / n / (n - 1));
      const got = retest({ first: pairs.map(([a]) => a), second: pairs.map(([, b]) => b) });
      expectClose((got.lowerLimit + got.upperLimit) / 2, got.bias, near, 'middle');
      expectClose(got.upperLimit - got.bias, z * sd, near, 'reach');
      const meanSquare = got.bias ** 2 + (sd ** 2 * (n - 1)) / n;
      expectClose(2 * got.withinSd ** 2, meanSquare, near, 'split');
      expectClose(got.repeatability, 1.96 * Math.sqrt(meanSquare), near, 'repeatability');
    }),
    { seed: 1, numRuns: 150 },
  );
});

test('exchanging the runs turns the bias round, a common origin changes nothing, a unit scales all', () => {
  fc.assert(
    fc.property(measured, (pairs) => {
      const first = pairs.map(([a]) => a);
      const second = pairs.map(([, b]) => b);
      const got = retest({ first, second });
      const turned = retest({ first: second, second: first });
      expectClose(turned.bias, -got.bias, near, 'bias');
      expectClose(turned.lowerLimit, -got.upperLimit, near, 'limits');
      expectClose(turned.withinSd, got.withinSd, near, 'within');
      const moved = retest({ first: first.map((a) => 1e9 + 4 * a), second: second.map((b) => 1e9 + 4 * b) });
      for (const [field, value] of Object.entries(got)) {
        expectClose(Reflect.get(moved, field), 4 * value, near, field);
      }
    }),
    { seed: 2, numRuns: 100 },
  );
});

test('runs that repeat exactly have no spread; a steady difference is all bias', () => {
  const zero = { bias: 0, lowerLimit: 0, upperLimit: 0, withinSd: 0, repeatability: 0 };
  expect(retest({ first: [3, 5], second: [3, 5] })).toEqual(zero);
  const steady = retest({ first: [3, 5, 9], second: [1, 3, 7] });
  expect([steady.bias, steady.lowerLimit, steady.upperLimit]).toEqual([2, 2, 2]);
  expectClose(steady.withinSd, Math.SQRT2, near, 'within');
});

test('bad input is refused with its place', () => {
  expectRefused(() => retest({ first: [3], second: [4] }), 'not-enough-data', 'first');
  expectRefused(() => retest({ first: [3, 4], second: [4] }), 'not-enough-data', 'second');
  expectRefused(() => retest({ first: [3, 4], second: [4, 5, 6] }), 'inconsistent', 'second');
  expectRefused(() => retest({ first: [3, Number.NaN], second: [4, 5] }), 'wrong-type', 'first.1');
  expectRefused(() => retest({ first: [3, 4], second: [4, Number.NEGATIVE_INFINITY] }), 'wrong-type', 'second.1');
});
