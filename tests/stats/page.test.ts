import fc from 'fast-check';
import { expect, test } from 'vitest';
import { normalUpper } from '../../stats/distributions';
import { type PageInput, page } from '../../stats/page';
import { counted, shuffles } from './rank-support';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  PageInput,
  { l: number; expected: number; variance: number; z: number; p: number; pNormal: number }
>;

test.each(references<Case[]>('page'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const got = page(inputs);
  for (const name of ['l', 'expected', 'variance', 'z', 'p'] as const) {
    expectClose(got[name], expected[name], tolerance, `${id} ${name}`);
  }
  expect(got.exact).toBe(true);
  expectClose(normalUpper(got.z), expected.pNormal, tolerance, `${id} normal`);
  // From memory, as the case says.
  const printed = published?.l;
  if (printed) expectClose(got.l, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
});

/** Σ place·rank of a table of ranks. */
const trend = (ranks: number[][]) =>
  ranks.flat().reduce((sum, rank, i) => sum + ((i % (ranks[0]?.length ?? 1)) + 1) * rank, 0);

test.each([
  [1, 2],
  [4, 2],
  [9, 2],
  [1, 3],
  [3, 3],
  [4, 3],
  [2, 4],
  [1, 5],
  [2, 5],
  [1, 6],
  [1, 7],
])('%i listeners, %i items: every table written out', (n, k) => {
  const straight = Array.from({ length: n }, () => Array.from({ length: k }, (_, j) => j + 1));
  const tables = shuffles(straight);
  const often = new Map<number, { times: number; table: number[][] }>();
  for (const table of tables) {
    const l = trend(table);
    often.set(l, { times: (often.get(l)?.times ?? 0) + 1, table });
  }
  const mean = [...often].reduce((sum, [l, { times }]) => sum + l * times, 0) / tables.length;
  const spread = [...often].reduce((sum, [l, { times }]) => sum + times * (l - mean) ** 2, 0) / tables.length;
  for (const [l, { table }] of often) {
    const got = page({ scores: table });
    // The share of tables with so large an l: so P(p ≤ α) is α wherever it can be.
    const upper = [...often].reduce((sum, [other, { times }]) => (other >= l ? sum + times : sum), 0) / tables.length;
    expectClose(got.p, upper, { relative: 1e-12, absolute: 0 }, `p of ${l}`);
    expect([got.l, got.exact]).toEqual([l, true]);
    expectClose(got.expected, mean, { relative: 1e-12, absolute: 0 }, 'expected');
    expectClose(got.variance, spread, { relative: 1e-10, absolute: 0 }, 'variance');
  }
});

test('the ends: everyone in the expected order, everyone against it', () => {
  const rising = Array.from({ length: 5 }, () => [1, 2, 3, 4, 5, 6, 7, 8]);
  expectClose(page({ scores: rising }).p, 40320 ** -5, { relative: 1e-12, absolute: 0 }, 'smallest');
  expectClose(
    page({ scores: rising.map((row) => [...row].reverse()) }).p,
    1,
    { relative: 1e-12, absolute: 0 },
    'largest',
  );
});

test('exact up to 8 items and 40 cells without ties, the normal tail beyond', () => {
  const rows = (n: number, k: number) =>
    Array.from({ length: n }, (_, i) => Array.from({ length: k }, (_, j) => (j + i) % k));
  for (const [n, k, exact] of [
    [5, 8, true],
    [6, 8, false],
    [20, 2, true],
    [21, 2, false],
    [4, 9, false],
    [10, 4, true],
    [11, 4, false],
  ] as const) {
    const got = page({ scores: rows(n, k) });
    expect(got.exact, `${n} by ${k}`).toBe(exact);
    if (!exact) expect(got.p).toBe(normalUpper(got.z));
  }
  const tied = page({
    scores: [
      [1, 1, 2],
      [1, 2, 3],
    ],
  });
  // Mid-ranks 1.5, 1.5, 3 and 1, 2, 3; the variance stays that of no ties, 2·9·16·2/144.
  expect(tied).toMatchObject({ l: 27.5, expected: 24, variance: 4, z: 1.75, exact: false });
  expectClose(tied.p, normalUpper(1.75), { relative: 1e-12, absolute: 0 }, 'tied');
});

const table = fc
  .tuple(
    fc.integer({ min: 1, max: 6 }),
    fc.integer({ min: 2, max: 6 }),
    fc.array(fc.integer({ min: 0, max: 99 }), { minLength: 36, maxLength: 36 }),
  )
  .map(([n, k, cells]) => Array.from({ length: n }, (_, i) => cells.slice(i * k, (i + 1) * k)))
  .filter((rows) => rows.some((row) => new Set(row).size > 1));

test('columns may stand anywhere if the order says where; listeners and scale don’t matter; turned round it mirrors', () => {
  fc.assert(
    fc.property(table, fc.nat(), (scores, pick) => {
      const k = scores[0]?.length ?? 0;
      const straight = page({ scores });
      const by = 1 + (pick % (k - 1 || 1));
      // Column j goes to (j + by) mod k.
      const moved = scores.map((row) => row.map((_, j) => row[(j - by + k) % k] as number));
      const order = Array.from({ length: k }, (_, j) => ((j + by) % k) + 1);
      expect(page({ scores: moved, order })).toEqual(straight);
      expect(page({ scores: [...scores].reverse() })).toEqual(straight);
      expect(page({ scores: scores.map((row, i) => row.map((one) => Math.exp(one / 50) - i)) })).toEqual(straight);
      const against = page({ scores, order: Array.from({ length: k }, (_, j) => k - j) });
      expectClose(against.z, -straight.z, { relative: 1e-9, absolute: 1e-12 }, 'z');
      expect(against.exact).toBe(straight.exact);
      // Both tails hold the outcome itself where p is exact.
      if (straight.exact) expect(against.p + straight.p).toBeGreaterThan(1);
      else expectClose(against.p + straight.p, 1, { relative: 1e-12, absolute: 0 }, 'tails');
      const ranks = scores.map(counted);
      expectClose(straight.l, trend(ranks), { relative: 1e-12, absolute: 0 }, 'l');
    }),
    { seed: 33, numRuns: 80 },
  );
});

test('what has no trend, and an order that doesn’t fit, is refused', () => {
  expectRefused(
    () =>
      page({
        scores: [
          [2, 2],
          [5, 5],
        ],
      }),
    'no-variation',
    'scores',
  );
  expectRefused(() => page({ scores: [] }), 'not-enough-data', 'scores');
  expectRefused(() => page({ scores: [[1, 2], [1]] }), 'not-enough-data', 'scores.1');
  expectRefused(
    () =>
      page({
        scores: [
          [1, 2, 3],
          [1, 2],
        ],
      }),
    'inconsistent',
    'scores.1',
  );
  const scores = [[1, 2, 3]];
  expectRefused(() => page({ scores, order: [1, 2] }), 'inconsistent', 'order');
  expectRefused(() => page({ scores, order: [] }), 'not-enough-data', 'order');
  expectRefused(() => page({ scores, order: [1, 2, 2] }), 'inconsistent', 'order.2');
  expectRefused(() => page({ scores, order: [0, 1, 2] }), 'out-of-range', 'order.0');
  expectRefused(() => page({ scores, order: [1, 2, 4] }), 'out-of-range', 'order.2');
  expectRefused(() => page({ scores, order: [1, 2, 2.5] }), 'wrong-type', 'order.2');
  expectRefused(() => page({ scores: [[1, 2, Number.NaN]] }), 'wrong-type', 'scores.0.2');
  expectRefused(() => page({ scores, higherIsBetter: true } as never), 'unknown-option', 'higherIsBetter');
});
