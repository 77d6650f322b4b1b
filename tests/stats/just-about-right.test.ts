import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type JustAboutRightGroup, justAboutRight } from '../../stats/just-about-right';
import { studentTail } from './student-tail';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Level = -1 | 0 | 1;
type Groups = Record<'low' | 'high', { share: number; drop: number; p: number }>;
type Case = ReferenceCase<{ liking: number[]; level: Level[] }, Groups>;

test.each(references<Case[]>('just-about-right'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const result = justAboutRight(inputs);
  for (const group of ['low', 'high'] as const) {
    for (const key of ['share', 'drop', 'p'] as const) {
      expectClose(result[group][key], expected[group][key], tolerance, `${id} ${group} ${key}`);
    }
  }
});

const answers = fc
  .array(fc.tuple(fc.integer({ min: 1, max: 9 }), fc.constantFrom<Level>(-1, 0, 0, 1)), { minLength: 1, maxLength: 30 })
  .filter((rows) => rows.some(([, level]) => level === 0));
const run = (rows: [number, Level][]) =>
  justAboutRight({ liking: rows.map(([liking]) => liking), level: rows.map(([, level]) => level) });

/** By the definition: means, variances and Welch's degrees of freedom from plain sums, the tail by Simpson's rule. */
function byDefinition(rows: [number, Level][], side: Level): JustAboutRightGroup {
  const of = (at: Level) => {
    const values = rows.filter(([, level]) => level === at).map(([liking]) => liking);
    const n = values.length;
    const mean = values.reduce((all, one) => all + one, 0) / n;
    const error = values.reduce((all, one) => all + (one - mean) ** 2, 0) / (n - 1) / n;
    return { n, mean, error };
  };
  const [right, group] = [of(0), of(side)];
  const share = group.n / rows.length;
  if (group.n === 0) return { share, drop: null, p: null };
  const drop = right.mean - group.mean;
  const error = right.error + group.error;
  if (right.n < 2 || group.n < 2 || error === 0) return { share, drop, p: null };
  const degrees = error ** 2 / (right.error ** 2 / (right.n - 1) + group.error ** 2 / (group.n - 1));
  return { share, drop, p: 2 * studentTail(Math.abs(drop) / Math.sqrt(error), degrees) };
}

test('penalties by the definition', () => {
  fc.assert(
    fc.property(answers, (rows) => {
      const got = run(rows);
      for (const [name, side] of [
        ['low', -1],
        ['high', 1],
      ] as const) {
        const expected = byDefinition(rows, side);
        for (const key of ['share', 'drop', 'p'] as const) {
          const [one, other] = [got[name][key], expected[key]];
          if (other === null) expect(one).toBe(null);
          // Simpson's rule is coarse where degrees of freedom near 1 are not whole.
          else expectClose(one, other, { relative: 0, absolute: key === 'p' ? 1e-4 : 1e-12 }, `${name} ${key}`);
        }
      }
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('too little and too much mirror; order and shift of liking change nothing; the shares leave room for 0', () => {
  fc.assert(
    fc.property(answers, fc.integer({ min: -90, max: 90 }), (rows, by) => {
      const { low, high } = run(rows);
      expect(low.share + high.share).toBeLessThan(1);
      const flipped = run(rows.map(([liking, level]) => [liking, level === 0 ? 0 : level === 1 ? -1 : 1]));
      expect([flipped.low, flipped.high]).toEqual([high, low]);
      expect(run([...rows].reverse())).toEqual({ low, high });
      const near = { relative: 1e-9, absolute: 1e-12 };
      const shifted = run(rows.map(([liking, level]) => [liking + by, level]));
      for (const key of ['share', 'drop', 'p'] as const) {
        if (low[key] === null) expect(shifted.low[key]).toBe(null);
        else expectClose(shifted.low[key], low[key], near, key);
      }
      const turned = run(rows.map(([liking, level]) => [-liking, level]));
      expect((turned.high.drop ?? 0) + (high.drop ?? 0)).toBe(0);
      expect(turned.high.p).toBe(high.p);
    }),
    { seed: 2, numRuns: 150 },
  );
});

test('nobody on a side, one listener, no spread: what is not there is null, never a number', () => {
  expect(justAboutRight({ liking: [7, 8, 6], level: [0, 0, 0] })).toEqual({
    low: { share: 0, drop: null, p: null },
    high: { share: 0, drop: null, p: null },
  });
  const { low, high } = justAboutRight({ liking: [7, 8, 4, 6, 5], level: [0, 0, -1, 1, 1] });
  expect(low).toEqual({ share: 0.2, drop: 3.5, p: null });
  expect(high.drop).toBe(2);
  expect(high.p).toBeGreaterThan(0);
  // One at 0 has a mean to compare with and no spread.
  expect(justAboutRight({ liking: [7, 4, 5], level: [0, 1, 1] }).high).toMatchObject({ drop: 2.5, p: null });
  expect(justAboutRight({ liking: [7, 7, 4, 4], level: [0, 0, 1, 1] }).high).toMatchObject({ drop: 3, p: null });
  const rounded = justAboutRight({ liking: [0.3, 0.1 + 0.2, 0.2, 0.2], level: [0, 0, 1, 1] });
  expect(rounded.high.p).toBe(null);
  // Spread in one of the two is enough.
  expect(justAboutRight({ liking: [7, 7, 4, 5], level: [0, 0, 1, 1] }).high.p).toBeGreaterThan(0);
});

test('nobody at 0, or bad input, is refused', () => {
  const bad =
    (liking: unknown, level: unknown, more: object = {}) =>
    () =>
      justAboutRight({ liking, level, ...more } as never);
  expectRefused(bad([5, 6], [-1, 1]), 'not-enough-data', 'level');
  expectRefused(bad([], []), 'not-enough-data', 'liking');
  expectRefused(bad([5, 6], [0]), 'inconsistent', 'level');
  expectRefused(bad([5, 6], [0, 2]), 'out-of-range', 'level.1');
  expectRefused(bad([5, 6], [0, 0.5]), 'wrong-type', 'level.1');
  expectRefused(bad([5, 6], [0, 'low']), 'wrong-type', 'level.1');
  expectRefused(bad([5, 6], [0, null]), 'missing', 'level.1');
  expectRefused(bad([5, Number.NaN], [0, 1]), 'wrong-type', 'liking.1');
  expectRefused(bad(undefined, [0, 1]), 'missing', 'liking');
  expectRefused(bad([5, 6], undefined), 'missing', 'level');
  expectRefused(bad([5, 6], [0, 1], { jar: [3, 4] }), 'unknown-option', 'jar');
});
