import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fUpper } from '../../stats/distributions';
import { type IccForm, type IccResult, icc } from '../../stats/icc';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<{ ratings: number[][]; level?: number }, IccResult>;

const sizes = ['single', 'average'] as const;
const cases = ['oneWay', 'twoWayRandom', 'twoWayMixed'] as const;
const forms = sizes.flatMap((size) => cases.map((one) => [size, one] as const));
const fields = ['value', 'f', 'df1', 'df2', 'p', 'lower', 'upper'] as const;
const closed = { relative: 1e-9, absolute: 1e-11 };

test.each(references<Case[]>('icc'))('$id', ({ inputs, expected, tolerance, published, id }) => {
  const got = icc(inputs);
  for (const [size, one] of forms) {
    for (const field of fields) {
      const value = expected[size][one][field];
      const what = `${id} ${size} ${one} ${field}`;
      if (value === null) expect(got[size][one][field], what).toBe(null);
      else expectClose(got[size][one][field], value, tolerance, what);
    }
    const printed = published?.[`${size}.${one}`];
    if (printed) {
      expectClose(got[size][one].value, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
    }
  }
  for (const [source, value] of Object.entries(expected.meanSquares)) {
    expectClose(Reflect.get(got.meanSquares, source), value, tolerance, `${id} ${source}`);
  }
});

/** Mean squares from differences of pairs and pairs of pairs, where no mean is ever formed. */
function fromPairs(ratings: number[][]): IccResult['meanSquares'] {
  const n = ratings.length;
  const k = ratings[0]?.length ?? 0;
  const y = (i: number, j: number) => ratings[i]?.[j] ?? Number.NaN;
  const row = (i: number) => (ratings[i] ?? []).reduce((sum, value) => sum + value, 0);
  const column = (j: number) => ratings.reduce((sum, _, i) => sum + y(i, j), 0);
  const squares = { between: 0, within: 0, raters: 0, residual: 0 };
  for (let i = 0; i < n; i++) {
    for (let h = 0; h < i; h++) {
      squares.between += (row(i) - row(h)) ** 2 / (n * k);
      for (let j = 0; j < k; j++) {
        for (let l = 0; l < j; l++) squares.residual += (y(i, j) - y(i, l) - y(h, j) + y(h, l)) ** 2 / (n * k);
      }
    }
    for (let j = 0; j < k; j++) for (let l = 0; l < j; l++) squares.within += (y(i, j) - y(i, l)) ** 2 / k;
  }
  for (let j = 0; j < k; j++) for (let l = 0; l < j; l++) squares.raters += (column(j) - column(l)) ** 2 / (n * k);
  return {
    between: squares.between / (n - 1),
    within: squares.within / (n * (k - 1)),
    raters: squares.raters / (k - 1),
    residual: squares.residual / ((n - 1) * (k - 1)),
  };
}

const ratingsOf = fc
  .record({
    n: fc.integer({ min: 2, max: 8 }),
    k: fc.integer({ min: 2, max: 5 }),
    cells: fc.array(fc.integer({ min: 0, max: 400 }), { minLength: 40, maxLength: 40 }),
  })
  .map(({ n, k, cells }) =>
    Array.from({ length: n }, (_, i) => cells.slice(i * k, i * k + k).map((cell) => cell / 8 + 7 * i)),
  );
/** Not where rows or residuals vanish, which is refused. */
const usable = (ratings: number[][]) => {
  const { between, residual } = fromPairs(ratings);
  return between > 1e-6 && residual > 1e-6;
};

test('values are shares of the variances of subjects, raters and what is left', () => {
  fc.assert(
    fc.property(ratingsOf.filter(usable), (ratings) => {
      const n = ratings.length;
      const k = ratings[0]?.length ?? 0;
      const got = icc({ ratings });
      const squares = fromPairs(ratings);
      for (const source of ['between', 'within', 'raters', 'residual'] as const) {
        expectClose(got.meanSquares[source], squares[source], closed, source);
      }
      const { between, within, raters, residual } = squares;
      const oneWay = (between - within) / k;
      const subject = (between - residual) / k;
      const rater = (raters - residual) / n;
      const check = (form: IccForm, share: number, what: string) => expectClose(form.value, share, closed, what);
      check(got.single.oneWay, oneWay / (oneWay + within), '1,1');
      check(got.average.oneWay, oneWay / (oneWay + within / k), '1,k');
      check(got.single.twoWayRandom, subject / (subject + rater + residual), '2,1');
      const all = subject + (rater + residual) / k;
      if (all > 1e-9) check(got.average.twoWayRandom, subject / all, '2,k');
      if (all < -1e-9) expect(got.average.twoWayRandom.value).toBe(null);
      check(got.single.twoWayMixed, subject / (subject + residual), '3,1');
      check(got.average.twoWayMixed, subject / (subject + residual / k), '3,k');
    }),
    { seed: 1, numRuns: 150 },
  );
});

test('a limit is the true value at which the ratio seen would lie at the end of F', () => {
  fc.assert(
    fc.property(ratingsOf.filter(usable), fc.double({ min: 0.5, max: 0.999, noNaN: true }), (ratings, level) => {
      const k = ratings[0]?.length ?? 0;
      const { single } = icc({ ratings, level });
      for (const one of ['oneWay', 'twoWayMixed'] as const) {
        const { f, df1, df2, lower, upper } = single[one];
        const tailAt = (share: number) => fUpper(f / (1 + (k * share) / (1 - share)), df1, df2);
        const tail = (1 - level) / 2;
        const near = { relative: 1e-6, absolute: 1e-9 };
        expectClose(tailAt(lower ?? Number.NaN), tail, near, `${one} lower`);
        expectClose(tailAt(upper ?? Number.NaN), 1 - tail, near, `${one} upper`);
      }
    }),
    { seed: 2, numRuns: 100 },
  );
});

test('limits hold the value, widen with the level, and those of the mean follow from those of one rating', () => {
  fc.assert(
    fc.property(ratingsOf.filter(usable), (ratings) => {
      const k = ratings[0]?.length ?? 0;
      const narrow = icc({ ratings, level: 0.8 });
      const wide = icc({ ratings, level: 0.99 });
      const slack = 1e-9;
      for (const one of cases) {
        const { value, lower, upper } = narrow.single[one];
        expect([value, lower, upper]).not.toContain(null);
        expect(lower).toBeLessThanOrEqual((value ?? 0) + slack);
        expect(upper).toBeGreaterThanOrEqual((value ?? 0) - slack);
        expect(wide.single[one].lower).toBeLessThanOrEqual((lower ?? 0) + slack);
        if (one !== 'twoWayRandom') {
          expect(wide.single[one].upper).toBeGreaterThanOrEqual((upper ?? 0) - slack);
        }
        for (const field of ['value', 'lower', 'upper'] as const) {
          const single = narrow.single[one][field] ?? Number.NaN;
          const rest = 1 + (k - 1) * single;
          if (Math.abs(rest) < 1e-6) continue;
          if (rest < 0) expect(narrow.average[one][field]).toBe(null);
          else expectClose(narrow.average[one][field], (k * single) / rest, { relative: 1e-6, absolute: 1e-9 }, field);
        }
      }
    }),
    { seed: 3, numRuns: 200 },
  );
});

const numbers = (result: IccResult) =>
  [...forms.flatMap(([size, one]) => fields.map((field) => result[size][one][field]))].map((value) => value ?? -1e9);

test('order of subjects and raters, origin and unit change nothing', () => {
  fc.assert(
    fc.property(ratingsOf.filter(usable), fc.constantFrom(0, 1e6, -1e9), (ratings, origin) => {
      const moved = [...ratings].reverse().map((row) => [...row].reverse().map((value) => origin + 4 * value));
      const before = numbers(icc({ ratings }));
      numbers(icc({ ratings: moved })).forEach((value, i) => {
        expectClose(value, before[i] ?? Number.NaN, { relative: 1e-7, absolute: 1e-9 }, `${i}`);
      });
    }),
    { seed: 4, numRuns: 100 },
  );
});

test('far from zero no digit that counts is lost', () => {
  const ratings = [
    [9, 2, 5, 8],
    [6, 1, 3, 2],
    [8, 4, 6, 8],
    [7, 1, 2, 6],
  ];
  const before = numbers(icc({ ratings }));
  numbers(icc({ ratings: ratings.map((row) => row.map((value) => 1e12 + value)) })).forEach((value, i) => {
    expectClose(value, before[i] ?? Number.NaN, { relative: 1e-12, absolute: 1e-12 }, `${i}`);
  });
});

test('nothing to divide by is refused and says which', () => {
  const same = [
    [3, 3],
    [5, 5],
    [4, 4],
  ];
  expect(expectRefused(() => icc({ ratings: same }), 'no-variation', 'ratings').message).toContain('agree perfectly');
  const steady = [
    [0.1, 0.2, 0.3],
    [0.2, 0.3, 0.4],
    [0.7, 0.8, 0.9],
  ];
  expectRefused(() => icc({ ratings: steady }), 'no-variation', 'ratings');
  const means = [
    [1, 3],
    [3, 1],
    [2, 2],
  ];
  expect(expectRefused(() => icc({ ratings: means }), 'no-variation', 'ratings').message).toContain('same mean');
  expectRefused(
    () =>
      icc({
        ratings: cells('2 2, 2 2'),
      }),
    'no-variation',
    'ratings',
  );
});

test('two subjects and many raters of all levels: limits stay finite where their degrees of freedom collapse', () => {
  const ratings = [
    [1000.625, 1000.75, 997.875, 997.5, 1001.5, 999.375],
    [1001.125, 998.25, 999.375, 998.5, 1000.25, 1000],
  ];
  for (const level of [0.1, 0.5, 0.9, 0.9999]) {
    const { value, lower, upper } = icc({ ratings, level }).single.twoWayRandom;
    expect(lower).toBeLessThanOrEqual(value ?? 0);
    expect(upper).toBeGreaterThanOrEqual(value ?? 0);
  }
});

test('bad input is refused with its place', () => {
  const good = [
    [1, 2],
    [3, 5],
  ];
  expectRefused(() => icc({ ratings: [[1, 2]] }), 'not-enough-data', 'ratings');
  expectRefused(() => icc({ ratings: [[1], [2]] }), 'not-enough-data', 'ratings.0');
  expectRefused(() => icc({ ratings: [] }), 'not-enough-data', 'ratings');
  expectRefused(
    () =>
      icc({
        ratings: cells('1 2, 3 5 6'),
      }),
    'inconsistent',
    'ratings.1',
  );
  expectRefused(
    () =>
      icc({
        ratings: cells('1 2, 3 NaN'),
      }),
    'wrong-type',
    'ratings.1.1',
  );
  expectRefused(
    () =>
      icc({
        ratings: cells('1 Infinity, 3 4'),
      }),
    'wrong-type',
    'ratings.0.1',
  );
  for (const level of [0, 1, 1.5]) expectRefused(() => icc({ ratings: good, level }), 'out-of-range', 'level');
});
