import fc from 'fast-check';
import { expect, test } from 'vitest';
import { dip } from '../../stats/dip';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<{ values: number[] }, { dip: number }>;
const samples = 100;

test.each(references<Case[]>('dip'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  expectClose(dip({ ...inputs, samples }).dip, expected.dip, tolerance, id);
});

const lists = fc
  .array(fc.integer({ min: -40, max: 40 }), { minLength: 4, maxLength: 25 })
  .filter((values) => new Set(values).size > 1);

test('between 1/(2n) and 1/4, whatever the order, scale and direction', () => {
  fc.assert(
    fc.property(lists, (values) => {
      const found = dip({ values, samples }).dip;
      expect(found).toBeGreaterThanOrEqual(1 / (2 * values.length) - 1e-12);
      expect(found).toBeLessThanOrEqual(0.25 + 1e-12);
      expect(dip({ values: values.toReversed(), samples }).dip).toBe(found);
      expect(dip({ values: values.map((one) => 3 - one / 8), samples }).dip).toBeCloseTo(found, 12);
    }),
    { seed: 1, numRuns: 60 },
  );
});

test('p: small for two camps, one for what is as flat as can be, and the same with the same seed', () => {
  const camps = Array.from({ length: 40 }, (_, i) => (i % 2) * 8 + i / 60);
  const found = dip({ values: camps });
  expect(found.p).toBeLessThan(0.01);
  expect(found).toEqual(dip({ values: camps, seed: 1 }));
  expect(dip({ values: Array.from({ length: 40 }, (_, i) => i), samples }).p).toBe(1);
});

test('p of uniform samples is below 0.1 in about a tenth of them', () => {
  let below = 0;
  for (let i = 0; i < 300; i++) {
    const values = Array.from(
      { length: 12 },
      (_, k) => Math.abs(Math.sin((i + 1) * 12.9898 + (k + 1) * 78.233) * 43_758.5453) % 1,
    );
    if (dip({ values, samples: 200, seed: i }).p <= 0.1) below++;
  }
  expect(below / 300).toBeGreaterThan(0.05);
  expect(below / 300).toBeLessThan(0.16);
});

test('refuses what it can’t tell', () => {
  expectRefused(() => dip({ values: [1, 2, 3] }), 'not-enough-data', 'values');
  expectRefused(() => dip({ values: [5, 5, 5, 5] }), 'no-variation', 'values');
  expectRefused(() => dip({ values: [1, 2, 3, 4], samples: 10 }), 'out-of-range', 'samples');
});
