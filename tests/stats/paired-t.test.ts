import fc from 'fast-check';
import { expect, test } from 'vitest';
import { pairedT } from '../../stats/paired-t';
import { studentTail } from './student-tail';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Case = ReferenceCase<{ first: number[]; second: number[] }, ReturnType<typeof pairedT>>;

test.each(references<Case[]>('paired-t'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const result = pairedT(inputs);
  for (const key of Object.keys(expected) as (keyof typeof expected)[]) {
    expectClose(result[key], expected[key], tolerance, `${id} ${key}`);
  }
  for (const key of ['t', 'p'] as const) {
    const printed = published?.[key];
    if (printed)
      expectClose(result[key], printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed ${key}`);
  }
});

const pair = fc.tuple(fc.integer({ min: 1, max: 9 }), fc.integer({ min: 1, max: 9 }));
const panel = fc
  .array(pair, { minLength: 2, maxLength: 20 })
  .filter((pairs) => new Set(pairs.map(([a, b]) => a - b)).size > 1)
  .map((pairs) => ({ first: pairs.map(([a]) => a), second: pairs.map(([, b]) => b) }));

test('the textbook’s sums of d and d², and Simpson’s rule for the tail, give the same', () => {
  fc.assert(
    fc.property(panel, ({ first, second }) => {
      const d = first.map((a, i) => a - (second[i] ?? Number.NaN));
      const n = d.length;
      const total = d.reduce((all, one) => all + one, 0);
      const squares = d.reduce((all, one) => all + one * one, 0);
      const variance = (squares - total ** 2 / n) / (n - 1);
      const t = total / n / Math.sqrt(variance / n);
      const got = pairedT({ first, second });
      const near = { relative: 1e-11, absolute: 1e-11 };
      expectClose(got.t, t, near, 't');
      expectClose(got.standardError, Math.sqrt(variance / n), near, 'standard error');
      expectClose(got.standardised, total / n / Math.sqrt(variance), near, 'standardised');
      const loose = { relative: 0, absolute: 1e-9 };
      expectClose(got.p, 2 * studentTail(Math.abs(t), n - 1), loose, 'p');
      expectClose(pairedT({ first, second, alternative: 'greater' }).p, studentTail(t, n - 1), loose, 'greater');
    }),
    { seed: 1, numRuns: 60 },
  );
});

test('tails add up, swapping the samples mirrors, order and shift of listeners change nothing', () => {
  fc.assert(
    fc.property(panel, fc.double({ min: 0.05, max: 0.999, noNaN: true }), ({ first, second }, level) => {
      const run = (alternative: 'greater' | 'less' | 'two-sided') => pairedT({ first, second, alternative, level });
      const both = run('two-sided');
      expectClose(run('greater').p + run('less').p, 1, rounding, 'tails');
      expectClose(both.p, Math.min(1, 2 * Math.min(run('greater').p, run('less').p)), rounding, 'two-sided');
      // The interval is two-sided whatever is tested.
      expect({ ...run('greater'), p: both.p }).toEqual(both);
      const mirrored = pairedT({ first: second, second: first, alternative: 'greater', level });
      expectClose(mirrored.p, run('less').p, rounding, 'mirrored');
      expectClose(mirrored.lower, -both.upper, rounding, 'mirrored limit');
      const turned = pairedT({ first: [...first].reverse(), second: [...second].reverse(), level });
      expect(turned).toEqual(both);
      // Each listener's own level cancels.
      const shifted = pairedT({
        first: first.map((a, i) => a + 8 * i),
        second: second.map((b, i) => b + 8 * i),
        level,
      });
      expect(shifted).toEqual(both);
      expect(both.lower).toBeLessThan(both.difference);
      expect(both.upper).toBeGreaterThan(both.difference);
      expect(pairedT({ first, second, level: (1 + level) / 2 }).upper).toBeGreaterThan(both.upper);
      const twice = pairedT({ first: [...first, ...first], second: [...second, ...second], level });
      expect(twice.upper - twice.lower).toBeLessThan(both.upper - both.lower);
    }),
    { seed: 2, numRuns: 150 },
  );
});

test('p ≤ 1 − level where the interval leaves 0 out', () => {
  fc.assert(
    fc.property(panel, fc.double({ min: 0.3, max: 0.99, noNaN: true }), ({ first, second }, level) => {
      const { lower, upper, p } = pairedT({ first, second, level });
      if (Math.abs(p - (1 - level)) > 1e-9) expect(lower > 0 || upper < 0).toBe(p < 1 - level);
    }),
    { seed: 3, numRuns: 150 },
  );
});

test('far out the tail is kept', () => {
  const first = Array.from({ length: 40 }, (_, i) => 100 + (i % 2));
  const { p, t } = pairedT({ first, second: first.map(() => 0), alternative: 'greater' });
  expect(t).toBeGreaterThan(1000);
  expect(p).toBeGreaterThan(0);
  expect(p).toBeLessThan(1e-80);
});

test('differences without spread, but for rounding, are refused', () => {
  const refused = (first: number[], second: number[]) =>
    expectRefused(() => pairedT({ first, second }), 'no-variation', 'first');
  refused([5, 6, 7], [5, 6, 7]);
  refused([5, 6, 7], [4, 5, 6]);
  refused([0.3, 0.2, 1.1], [0.2, 0.1, 1.0]);
  refused([1e9 + 0.3, 1e9 + 0.1], [1e9 + 0.2, 1e9]);
});

test('bad input is refused, naming the field', () => {
  const run = (input: object) => () => pairedT(input as never);
  expectRefused(run({ first: [5], second: [6] }), 'not-enough-data', 'first');
  expectRefused(run({ first: [5, 6, 7], second: [6, 7] }), 'inconsistent', 'second');
  expectRefused(run({ first: [5, 6] }), 'missing', 'second');
  expectRefused(run({ first: [5, Number.NaN], second: [6, 7] }), 'wrong-type', 'first.1');
  expectRefused(run({ first: [5, 6], second: [6, '7'] }), 'wrong-type', 'second.1');
  expectRefused(run({ first: [5, 6], second: [6, 6], alternative: 'grater' }), 'unknown-choice', 'alternative');
  expectRefused(run({ first: [5, 6], second: [6, 6], level: 1 }), 'out-of-range', 'level');
  expectRefused(run({ first: [5, 6], second: [6, 6], paired: true }), 'unknown-option', 'paired');
});
