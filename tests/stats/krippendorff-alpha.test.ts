import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  type KrippendorffAlphaInput,
  krippendorffAlpha,
  type MeasurementLevel,
  measurementLevels,
} from '../../stats/krippendorff-alpha';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<KrippendorffAlphaInput, { alpha: number }>;

test.each(references<Case[]>('krippendorff-alpha'))('$id', ({ inputs, expected, tolerance, published, id }) => {
  const { alpha } = krippendorffAlpha(inputs);
  expectClose(alpha, expected.alpha, tolerance, id);
  const printed = published?.alpha;
  if (printed) expectClose(alpha, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
});

type Table = (number | null)[][];

/** By the matrix of coincidences and the distances as they are defined, value by value. */
function byCoincidences(ratings: Table, level: MeasurementLevel): number {
  const columns = (ratings[0] ?? []).map((_, j) => ratings.map((row) => row[j]).filter((v) => typeof v === 'number'));
  const values = [...new Set(columns.filter((column) => column.length > 1).flat())].sort((a, b) => a - b);
  const coincidences = values.map(() => values.map(() => 0));
  for (const column of columns) {
    column.forEach((a, i) => {
      column.forEach((b, h) => {
        const row = coincidences[values.indexOf(a)];
        const at = values.indexOf(b);
        if (i !== h && row) row[at] = (row[at] ?? 0) + 1 / (column.length - 1);
      });
    });
  }
  const totals = coincidences.map((row) => row.reduce((sum, one) => sum + one, 0));
  const n = totals.reduce((sum, one) => sum + one, 0);
  const distance = (c: number, k: number): number => {
    if (c === k) return 0;
    const [low, high] = [Math.min(c, k), Math.max(c, k)];
    const a = values[c] ?? Number.NaN;
    const b = values[k] ?? Number.NaN;
    if (level === 'nominal') return 1;
    if (level === 'interval') return (a - b) ** 2;
    if (level === 'ratio') return ((a - b) / (a + b)) ** 2;
    const between = totals.slice(low, high + 1).reduce((sum, one) => sum + one, 0);
    return (between - ((totals[c] ?? 0) + (totals[k] ?? 0)) / 2) ** 2;
  };
  let observed = 0;
  let expected = 0;
  values.forEach((_, c) => {
    values.forEach((_, k) => {
      observed += (coincidences[c]?.[k] ?? 0) * distance(c, k);
      expected += (totals[c] ?? 0) * (totals[k] ?? 0) * distance(c, k);
    });
  });
  return 1 - ((n - 1) * observed) / expected;
}

const tables = fc
  .record({
    raters: fc.integer({ min: 2, max: 4 }),
    items: fc.integer({ min: 2, max: 7 }),
    cells: fc.array(fc.option(fc.integer({ min: 0, max: 4 }), { freq: 4 }), { minLength: 28, maxLength: 28 }),
  })
  .map(
    ({ raters, items, cells }): Table =>
      Array.from({ length: raters }, (_, i) => cells.slice(i * items, (i + 1) * items)),
  )
  .filter((ratings) => {
    const columns = (ratings[0] ?? []).map((_, j) => ratings.map((row) => row[j]).filter((v) => v !== null));
    const pairable = columns.filter((column) => column.length > 1);
    return pairable.length > 1 && new Set(pairable.flat()).size > 1;
  });

test('every level by the matrix of coincidences, gaps included', () => {
  fc.assert(
    fc.property(tables, fc.constantFrom(...measurementLevels), (ratings, level) => {
      const { alpha } = krippendorffAlpha({ ratings, level });
      const what = JSON.stringify({ ratings, level });
      expectClose(alpha, byCoincidences(ratings, level), { relative: 1e-10, absolute: 1e-12 }, what);
      expect(alpha).toBeLessThanOrEqual(1);
      const turned = [...ratings].reverse().map((row) => [...row].reverse());
      expectClose(
        krippendorffAlpha({ ratings: turned, level }).alpha,
        alpha,
        { relative: 1e-11, absolute: 1e-12 },
        what,
      );
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('what a level does not know changes nothing: names, stretching, origin and unit', () => {
  fc.assert(
    fc.property(tables, (ratings) => {
      const same = (level: MeasurementLevel, turn: (value: number) => number | string) => {
        const { alpha } = krippendorffAlpha({ ratings, level });
        const turned = ratings.map((row) => row.map((value) => (value === null ? null : turn(value))));
        const other = krippendorffAlpha({ ratings: turned, level }).alpha;
        expectClose(other, alpha, { relative: 1e-9, absolute: 1e-10 }, `${level} ${JSON.stringify(ratings)}`);
      };
      same('nominal', (value) => 'cabed'[value] ?? '');
      same('ordinal', (value) => Math.exp(value) - 7);
      same('interval', (value) => 1e6 - 2.5 * value);
      same('ratio', (value) => 0.3 * value);
    }),
    { seed: 2, numRuns: 100 },
  );
});

test('items rated once and raters who skipped all count for nothing', () => {
  const ratings: Table = [
    [1, 2, 3, 3, null],
    [1, 2, 3, 4, 2],
    [null, 2, 3, 3, 1],
  ];
  for (const level of measurementLevels) {
    const { alpha } = krippendorffAlpha({ ratings, level });
    const more = [...ratings.map((row, i) => [...row, i === 1 ? 4 : null, null]), new Array<null>(7).fill(null)];
    expect(krippendorffAlpha({ ratings: more, level }).alpha).toBe(alpha);
  }
});

test('perfect agreement is 1; one value everywhere, or one item alone, is refused', () => {
  for (const level of measurementLevels) {
    expect(
      krippendorffAlpha({
        ratings: [
          [0, 2, 5],
          [0, 2, 5],
        ],
        level,
      }).alpha,
    ).toBe(1);
    expectRefused(
      () =>
        krippendorffAlpha({
          ratings: cells('3 3 3, 3 3 null'),
          level,
        }),
      'no-variation',
      'ratings',
    );
    // The other value stands where nothing can be compared with it.
    expectRefused(
      () =>
        krippendorffAlpha({
          ratings: cells('3 3 9, 3 3 null'),
          level,
        }),
      'no-variation',
      'ratings',
    );
    expectRefused(
      () =>
        krippendorffAlpha({
          ratings: cells('3 1, 4 null'),
          level,
        }),
      'not-enough-data',
      'ratings',
    );
    expectRefused(
      () =>
        krippendorffAlpha({
          ratings: cells('3 null, null 4'),
          level,
        }),
      'not-enough-data',
      'ratings',
    );
  }
  const rounding = [
    [0.1 + 0.2, 0.3],
    [0.3, 0.3],
  ];
  expectRefused(() => krippendorffAlpha({ ratings: rounding, level: 'interval' }), 'no-variation', 'ratings');
  expectRefused(() => krippendorffAlpha({ ratings: rounding, level: 'ratio' }), 'no-variation', 'ratings');
});

test('bad input is refused with its place', () => {
  const ratings: Table = [
    [1, 2, 3],
    [1, 2, 4],
  ];
  const unchecked = (input: object) => () => krippendorffAlpha({ ratings, level: 'ordinal', ...input });
  expectRefused(unchecked({ level: undefined }), 'missing', 'level');
  expectRefused(unchecked({ level: 'ordnal' }), 'unknown-choice', 'level');
  expectRefused(unchecked({ ratings: [[1, 2, 3]] }), 'not-enough-data', 'ratings');
  expectRefused(
    unchecked({
      ratings: cells('1 2 3, 1 2'),
    }),
    'inconsistent',
    'ratings.1',
  );
  expectRefused(
    unchecked({
      ratings: cells('1 2 "c", 1 2 3'),
    }),
    'wrong-type',
    'ratings.0.2',
  );
  expectRefused(
    unchecked({
      ratings: cells('1 2 NaN, 1 2 3'),
    }),
    'wrong-type',
    'ratings.0.2',
  );
  expectRefused(
    unchecked({
      ratings: cells('1 2 -3, 1 2 3'),
      level: 'ratio',
    }),
    'out-of-range',
    'ratings.0.2',
  );
  expectRefused(
    unchecked({
      ratings: cells('"a" "b", "a" 1'),
      level: 'nominal',
    }),
    'inconsistent',
    'ratings.1.1',
  );
});
