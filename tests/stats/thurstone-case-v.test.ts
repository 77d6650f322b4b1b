import fc from 'fast-check';
import { expect, test } from 'vitest';
import { normalCdf, normalQuantile } from '../../stats/distributions';
import { type ThurstoneCaseVInput, thurstoneCaseV } from '../../stats/thurstone-case-v';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<ThurstoneCaseVInput, { scale: number[]; aboveLowest: number[] }>;

test.each(references<Case[]>('thurstone-case-v'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const { scale } = thurstoneCaseV(inputs);
  const lowest = Math.min(...scale);
  expect(scale).toHaveLength(expected.scale.length);
  scale.forEach((value, i) => {
    expectClose(value, expected.scale[i] ?? Number.NaN, tolerance, `${id} ${i}`);
    expectClose(value - lowest, expected.aboveLowest[i] ?? Number.NaN, tolerance, `${id} ${i} above the lowest`);
  });
});

const names = ['A', 'B', 'C', 'D', 'E', 'F'];
const points = fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 2, maxLength: 6 });
const sharesOf = (true_: number[]) => true_.map((own) => true_.map((other) => normalCdf(own - other)));

test('a scale that made the shares is found again', () => {
  fc.assert(
    fc.property(points, (true_) => {
      const { scale } = thurstoneCaseV({ items: names.slice(0, true_.length), proportions: sharesOf(true_) });
      const mean = true_.reduce((a, b) => a + b, 0) / true_.length;
      scale.forEach((value, i) => {
        expect(value).toBeCloseTo((true_[i] ?? 0) - mean, 9);
      });
    }),
    { seed: 71, numRuns: 100 },
  );
});

const table = fc
  .tuple(fc.integer({ min: 2, max: 6 }), fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 36, maxLength: 36 }))
  .map(([n, cells]) =>
    Array.from({ length: n }, (_, i) => Array.from({ length: n }, (_, j) => (i === j ? 0 : (cells[6 * i + j] ?? 1)))),
  );

test('it is the least squares fit of differences to normal scores, sums to zero, and wins are as good as their shares', () => {
  fc.assert(
    fc.property(table, (wins) => {
      const items = names.slice(0, wins.length);
      const share = (i: number, j: number) => (wins[i]?.[j] ?? 0) / ((wins[i]?.[j] ?? 0) + (wins[j]?.[i] ?? 0));
      const { scale } = thurstoneCaseV({ items, wins });
      expect(scale.reduce((a, b) => a + b, 0)).toBeCloseTo(0, 12);
      const off = (at: number[]) => {
        let sum = 0;
        for (let i = 0; i < at.length; i++) {
          for (let j = i + 1; j < at.length; j++) {
            sum += (normalQuantile(share(i, j)) - ((at[i] ?? 0) - (at[j] ?? 0))) ** 2;
          }
        }
        return sum;
      };
      const least = off(scale);
      scale.forEach((_, i) => {
        for (const step of [-0.01, 0.01]) {
          expect(off(scale.map((value, k) => (k === i ? value + step : value)))).toBeGreaterThan(least);
        }
      });
      const proportions = wins.map((row, i) => row.map((_, j) => (i === j ? 0.5 : share(i, j))));
      thurstoneCaseV({ items, proportions }).scale.forEach((value, i) => {
        expect(value).toBeCloseTo(scale[i] ?? Number.NaN, 12);
      });
    }),
    { seed: 72, numRuns: 60 },
  );
});

test('items in another order, and preferences turned, give the same scale in that order, or turned', () => {
  fc.assert(
    fc.property(table, (wins) => {
      const items = names.slice(0, wins.length);
      const { scale } = thurstoneCaseV({ items, wins });
      const moved = [...wins].reverse().map((row) => [...row].reverse());
      [...thurstoneCaseV({ items, wins: moved }).scale].reverse().forEach((value, i) => {
        expect(value).toBeCloseTo(scale[i] ?? Number.NaN, 12);
      });
      const turned = wins.map((row, i) => row.map((_, j) => wins[j]?.[i] ?? 0));
      expect(thurstoneCaseV({ items, wins: turned }).scale.map((value) => 0 - value)).toEqual(
        scale.map((value) => 0 + value),
      );
    }),
    { seed: 73, numRuns: 60 },
  );
});

test('everyone equal is a scale of zeros; the diagonal may be a half, 0 or null', () => {
  const items = ['A', 'B', 'C'];
  for (const own of [0.5, 0, null]) {
    const proportions = items.map((_, i) => items.map((_, j) => (i === j ? own : 0.5)));
    expect(thurstoneCaseV({ items, proportions }).scale.map((value) => 0 + value)).toEqual([0, 0, 0]);
  }
});

test('an item that always wins separates, and a pair never judged is missing: both are named', () => {
  const items = ['A', 'B', 'C'];
  const always = [
    [0, 3, 5],
    [2, 0, 4],
    [0, 1, 0],
  ];
  const error = expectRefused(() => thurstoneCaseV({ items, wins: always }), 'separated', 'wins.0.2');
  expect(error.message).toContain('A was always preferred to C');
  const never = [
    [0, 3, 0],
    [2, 0, 4],
    [0, 1, 0],
  ];
  expect(expectRefused(() => thurstoneCaseV({ items, wins: never }), 'not-enough-data', 'wins.0.2').message).toContain(
    'A and C',
  );
  const certain = [
    [0.5, 0, 0.4],
    [1, 0.5, 0.4],
    [0.6, 0.6, 0.5],
  ];
  expect(
    expectRefused(() => thurstoneCaseV({ items, proportions: certain }), 'separated', 'proportions.0.1').message,
  ).toContain('B was always preferred to A');
});

test('tables that don’t fit name their field', () => {
  const items = ['A', 'B'];
  const wins = [
    [0, 3],
    [1, 0],
  ];
  expectRefused(() => thurstoneCaseV({ items }), 'missing', 'wins');
  expectRefused(
    () =>
      thurstoneCaseV({
        items,
        wins,
        proportions: cells('0.5 0.6, 0.4 0.5'),
      }),
    'inconsistent',
    'proportions',
  );
  expectRefused(() => thurstoneCaseV({ items: ['A', 'B', 'C'], wins }), 'inconsistent', 'wins');
  expectRefused(() => thurstoneCaseV({ items: ['A', 'A'], wins }), 'inconsistent', 'items.1');
  expectRefused(
    () =>
      thurstoneCaseV({
        items,
        proportions: cells('0.5 0.6, 0.39 0.5'),
      }),
    'inconsistent',
    'proportions.0.1',
  );
  expectRefused(
    () =>
      thurstoneCaseV({
        items,
        proportions: cells('0.5 1.2, -0.2 0.5'),
      }),
    'out-of-range',
    'proportions.0.1',
  );
  expectRefused(
    () =>
      thurstoneCaseV({
        items,
        proportions: cells('0.6 0.6, 0.4 0.5'),
      }),
    'wrong-type',
    'proportions.0.0',
  );
  expectRefused(
    () =>
      thurstoneCaseV({
        items,
        wins: cells('0 2.5, 1 0'),
      }),
    'wrong-type',
    'wins.0.1',
  );
  expectRefused(
    () =>
      thurstoneCaseV({
        items,
        wins: cells('0 -2, 1 0'),
      }),
    'out-of-range',
    'wins.0.1',
  );
  expectRefused(
    () =>
      thurstoneCaseV({
        items,
        wins: cells('0 NaN, 1 0'),
      }),
    'wrong-type',
    'wins.0.1',
  );
  expectRefused(() => thurstoneCaseV({ items, wins: [[0, 1], [1]] }), 'not-enough-data', 'wins.1');
  expectRefused(() => thurstoneCaseV({ items, win: wins } as never), 'unknown-option', 'win');
});
