import fc from 'fast-check';
import { expect, test } from 'vitest';
import { equivalence } from '../../stats/equivalence';
import { studentTail } from './student-tail';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<{ first: number[]; second: number[]; margin: number }, ReturnType<typeof equivalence>>;

test.each(references<Case[]>('equivalence'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const result = equivalence(inputs);
  for (const key of ['p', 'lower', 'upper'] as const) {
    expectClose(result[key], expected[key], tolerance, `${id} ${key}`);
  }
  expect(result.equivalent).toBe(expected.equivalent);
});

const pair = fc.tuple(fc.integer({ min: 1, max: 9 }), fc.integer({ min: 1, max: 9 }));
const panel = fc
  .array(pair, { minLength: 2, maxLength: 20 })
  .filter((pairs) => new Set(pairs.map(([a, b]) => a - b)).size > 1)
  .map((pairs) => ({ first: pairs.map(([a]) => a), second: pairs.map(([, b]) => b) }));
const margin = fc.double({ min: 0.1, max: 6, noNaN: true });
const alpha = fc.double({ min: 0.001, max: 0.45, noNaN: true });

test('both one-sided tests by the definition, and Simpson’s rule for the tail, give the same', () => {
  fc.assert(
    fc.property(panel, margin, ({ first, second }, by) => {
      const d = first.map((a, i) => a - (second[i] ?? Number.NaN));
      const n = d.length;
      const mean = d.reduce((all, one) => all + one, 0) / n;
      const error = Math.sqrt(d.reduce((all, one) => all + (one - mean) ** 2, 0) / (n - 1) / n);
      const tails = [(mean + by) / error, (by - mean) / error].map((t) => studentTail(t, n - 1));
      const { p } = equivalence({ first, second, margin: by });
      expectClose(p, Math.max(...tails), { relative: 0, absolute: 1e-9 }, 'p');
    }),
    { seed: 1, numRuns: 60 },
  );
});

test('equivalent where the interval lies within the margin; swapping mirrors; a wider margin is easier', () => {
  fc.assert(
    fc.property(panel, margin, alpha, ({ first, second }, by, risk) => {
      const input = { first, second, margin: by, alpha: risk };
      const { p, lower, upper, equivalent } = equivalence(input);
      const inside = Math.min(lower + by, by - upper);
      if (Math.abs(inside) > 1e-9) expect(equivalent).toBe(inside > 0);
      const near = { relative: 1e-12, absolute: 1e-12 };
      const mirrored = equivalence({ ...input, first: second, second: first });
      expectClose(mirrored.p, p, near, 'mirrored p');
      expectClose(mirrored.lower, -upper, near, 'mirrored limit');
      expect(equivalence({ ...input, margin: by * 1.5 }).p).toBeLessThanOrEqual(p);
      expect(equivalence({ ...input, first: [...first].reverse(), second: [...second].reverse() }).p).toBe(p);
      // A smaller risk asks for a wider interval and leaves p alone.
      const strict = equivalence({ ...input, alpha: risk / 2 });
      expect([strict.p, strict.lower < lower, strict.upper > upper]).toEqual([p, true, true]);
    }),
    { seed: 2, numRuns: 150 },
  );
});

test('a mean difference at the margin has p one half, beyond it more', () => {
  const second = [4, 5, 6, 5];
  const first = second.map((value, i) => value + 1 + (i % 2 === 0 ? 0.5 : -0.5));
  expectClose(equivalence({ first, second, margin: 1 }).p, 0.5, { relative: 1e-12, absolute: 0 }, 'p');
  expect(equivalence({ first, second, margin: 0.5 }).p).toBeGreaterThan(0.5);
});

test('at risks so small that 1 − 2·alpha is 1 the limits are still where the margin would just be met', () => {
  // The mean difference is 0, so both tails are the same.
  const pairs = { first: [7, 6, 8, 7, 5, 6], second: [7, 6, 7, 7, 6, 6] };
  for (const alpha of [0.05, 1e-9, 1e-18]) {
    const { upper } = equivalence({ ...pairs, margin: 1, alpha });
    expectClose(equivalence({ ...pairs, margin: upper }).p, alpha, { relative: 1e-10, absolute: 0 }, `${alpha}`);
  }
});

test('differences without spread, but for rounding, are refused', () => {
  const refused = (first: number[], second: number[]) =>
    expectRefused(() => equivalence({ first, second, margin: 1 }), 'no-variation', 'first');
  refused([5, 6], [5, 6]);
  refused([0.3, 0.2], [0.2, 0.1]);
});

test('bad input is refused, naming the field', () => {
  const run = (more: object) => () => equivalence({ first: [5, 6], second: [6, 6], margin: 1, ...more });
  for (const bad of [0, -1, 1e15]) expectRefused(run({ margin: bad }), 'out-of-range', 'margin');
  expectRefused(run({ margin: undefined }), 'missing', 'margin');
  expectRefused(run({ margin: '1' }), 'wrong-type', 'margin');
  for (const bad of [0, 0.5, 0.95]) expectRefused(run({ alpha: bad }), 'out-of-range', 'alpha');
  expectRefused(run({ first: [5] }), 'not-enough-data', 'first');
  expectRefused(run({ second: [5, 6, 7] }), 'inconsistent', 'second');
  expectRefused(run({ first: [5, Number.POSITIVE_INFINITY] }), 'wrong-type', 'first.1');
  expectRefused(run({ level: 0.9 }), 'unknown-option', 'level');
});
