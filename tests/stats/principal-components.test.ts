import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  type PrincipalComponentsInput,
  type PrincipalComponentsResult,
  principalComponents,
} from '../../stats/principal-components';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<PrincipalComponentsInput, PrincipalComponentsResult>;
const near = { relative: 1e-11, absolute: 1e-11 };

const entry = (result: object, path: string): number =>
  path.split('/').reduce<unknown>((value, key) => Reflect.get(value as object, key), result) as number;

test.each(references<Case[]>('principal-components'))('$id: $description', (one) => {
  const got = principalComponents(one.inputs);
  for (const key of ['loadings', 'scores'] as const) {
    for (const [i, row] of one.expected[key].entries()) {
      expect(got[key][i]).toHaveLength(row.length);
      for (const [k, value] of row.entries()) expectClose(got[key][i]?.[k], value, one.tolerance, `${key} ${i} ${k}`);
    }
  }
  for (const key of ['variance', 'share'] as const) {
    expect(got[key]).toHaveLength(one.expected[key].length);
    for (const [k, value] of one.expected[key].entries()) expectClose(got[key][k], value, one.tolerance, `${key} ${k}`);
  }
  for (const [path, { value, tolerance }] of Object.entries(one.published ?? {})) {
    expectClose(entry(got, path), value, { relative: 0, absolute: tolerance }, path);
  }
});

test('two attributes that go together, by hand', () => {
  const half = Math.SQRT1_2;
  const { loadings, scores, variance, share } = principalComponents({ rows: cells('1 10, 2 20, 3 30') });
  expectClose(loadings[0]?.[0], half, near, 'loading');
  expectClose(loadings[1]?.[0], half, near, 'loading');
  // The second has nothing left to say: its loadings complete the right angle.
  expectClose(loadings[0]?.[1], half, near, 'loading');
  expectClose(loadings[1]?.[1], -half, near, 'loading');
  for (const [i, row] of scores.entries()) expectClose(row[0], (i - 1) * 2 * half, near, `score ${i}`);
  expect(scores.map((row) => row[1])).toEqual([0, 0, 0]);
  expectClose(variance[0], 2, near, 'variance');
  expect(variance[1]).toBe(0);
  expect(share).toEqual([1, 0]);
});

test('two rows have one component, in the direction in which they differ', () => {
  const { loadings, scores, variance } = principalComponents({ rows: cells('0 0 5, 3 4 5'), scale: false });
  for (const [j, value] of [0.6, 0.8, 0].entries()) expectClose(loadings[j]?.[0], value, near, `loading ${j}`);
  expect(loadings.map((row) => row.length)).toEqual([1, 1, 1]);
  expectClose(scores[0]?.[0], -2.5, near, 'first');
  expectClose(scores[1]?.[0], 2.5, near, 'second');
  expectClose(variance[0], 12.5, near, 'variance');
});

test('an attribute without variation is refused by its number where it would be scaled, and weighs nothing otherwise', () => {
  const error = expectRefused(() => principalComponents({ rows: cells('1 7, 2 7, 4 7') }), 'no-variation', 'rows');
  expect(error.message).toContain('in column 2');
  // The same figure but for rounding: 0.1 + 0.2 and 0.3.
  expectRefused(
    () =>
      principalComponents({
        rows: [
          [1, 0.1 + 0.2],
          [2, 0.3],
        ],
      }),
    'no-variation',
    'rows',
  );
  const { loadings, variance } = principalComponents({ rows: cells('1 7, 2 7, 4 7'), scale: false });
  expect(loadings).toEqual(cells('1 0, 0 1'));
  expect(variance[1]).toBe(0);
  expectRefused(() => principalComponents({ rows: cells('3 7, 3 7'), scale: false }), 'no-variation', 'rows');
});

test('sums and copies of attributes leave components of exactly no variance', () => {
  const rows = cells('1.1 0.3, 2.7 0.1, 0.4 5.9, 3.3 0.2, 9.1 7.7').map(([a = 0, b = 0]) => [a, b, a + b, a, 2004 + b]);
  for (const scale of [true, false]) {
    const { loadings, scores, variance } = principalComponents({ rows, scale });
    expect(variance.map((one) => one > 0)).toEqual([true, true, false, false]);
    expect(scores.map((row) => row.slice(2))).toEqual(rows.map(() => [0, 0]));
    expectOrthonormal(loadings);
  }
});

test('attributes that differ in size by many powers of ten keep their small components', () => {
  const rows = cells('1 1, 2 -1, 3 -1, 4 1').map(([a = 0, b = 0]) => [a * 1e9, b * 1e-9]);
  const { variance } = principalComponents({ rows, scale: false });
  expectClose(variance[0], (5 / 3) * 1e18, near, 'large');
  expectClose(variance[1], (4 / 3) * 1e-18, { relative: 1e-12, absolute: 0 }, 'small');
});

test('equal variances: still at right angles, and the plane is theirs', () => {
  const { loadings, variance } = principalComponents({ rows: cells('1 0, -1 0, 0 1, 0 -1'), scale: false });
  for (const one of variance) expectClose(one, 2 / 3, near, 'variance');
  expectOrthonormal(loadings);
});

test('what it refuses', () => {
  expectRefused(() => principalComponents({ rows: cells('1 2') }), 'not-enough-data', 'rows');
  expectRefused(() => principalComponents({ rows: [[], []] }), 'not-enough-data', 'rows.0');
  expectRefused(() => principalComponents({ rows: [[1, 2], [3]] }), 'inconsistent', 'rows.1');
  expectRefused(() => principalComponents({ rows: cells('1 2, 3 NaN') }), 'wrong-type', 'rows.1.1');
  expectRefused(() => principalComponents({ rows: cells('1 2, 3 null') }), 'missing', 'rows.1.1');
  const wide = Array.from({ length: 201 }, (_, j) => j);
  expectRefused(() => principalComponents({ rows: [wide, wide] }), 'out-of-range', 'rows');
  expectRefused(
    () => principalComponents({ rows: cells('1, 2'), scale: 'no' as unknown as boolean }),
    'wrong-type',
    'scale',
  );
});

function expectOrthonormal(loadings: readonly (readonly number[])[]) {
  const count = loadings[0]?.length ?? 0;
  for (let k = 0; k < count; k++) {
    for (let l = 0; l <= k; l++) {
      const product = loadings.reduce((sum, row) => sum + (row[k] as number) * (row[l] as number), 0);
      expectClose(product, k === l ? 1 : 0, near, `${k}·${l}`);
    }
  }
}

/** Ratings with a spread in every column. */
const tables = fc
  .tuple(fc.integer({ min: 2, max: 9 }), fc.integer({ min: 1, max: 7 }), fc.boolean())
  .chain(([rows, columns, scale]) =>
    fc.record({
      rows: fc
        .array(fc.array(fc.integer({ min: -40, max: 40 }), { minLength: columns, maxLength: columns }), {
          minLength: rows,
          maxLength: rows,
        })
        .map((table) => table.map((row, i) => row.map((value, j) => value / 4 + (i === j % rows ? 50 : 0)))),
      scale: fc.constant(scale),
    }),
  );
const column = (table: readonly (readonly number[])[], j: number) => table.map((row) => row[j] as number);
const average = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
const covariance = (a: readonly number[], b: readonly number[]) =>
  a.reduce((sum, value, i) => sum + (value - average(a)) * ((b[i] as number) - average(b)), 0) / (a.length - 1);

test('loadings are orthonormal, scores uncorrelated with the variances given, and together they give the ratings back', () => {
  fc.assert(
    fc.property(tables, (input) => {
      const { loadings, scores, variance, share } = principalComponents(input);
      const attributes = input.rows[0]?.length ?? 0;
      expect(variance).toHaveLength(Math.min(input.rows.length - 1, attributes));
      expectOrthonormal(loadings);
      const size = Math.max(1, variance[0] ?? 0);
      for (const [k, one] of variance.entries()) {
        if (k > 0) expect(one).toBeLessThanOrEqual(variance[k - 1] as number);
        for (let l = 0; l <= k; l++) {
          const found = covariance(column(scores, k), column(scores, l));
          expectClose(found, l === k ? one : 0, { relative: 0, absolute: 1e-11 * size }, `${k}, ${l}`);
        }
      }
      expectClose(
        share.reduce((sum, one) => sum + one, 0),
        1,
        near,
        'shares',
      );
      for (let j = 0; j < attributes; j++) {
        const values = column(input.rows, j);
        const spread = input.scale ? Math.sqrt(covariance(values, values)) : 1;
        for (const [i, row] of scores.entries()) {
          const back = row.reduce((sum, score, k) => sum + score * (loadings[j]?.[k] as number), 0) * spread;
          expectClose(back, (values[i] as number) - average(values), { relative: 0, absolute: 1e-10 }, `${i}, ${j}`);
        }
      }
    }),
  );
});

test('the order of rows and a shift of an attribute change nothing but rounding', () => {
  fc.assert(
    fc.property(tables, fc.integer({ min: -1000, max: 1000 }), (input, shift) => {
      const { variance } = principalComponents(input);
      const turned = principalComponents({ ...input, rows: [...input.rows].reverse() });
      const shifted = principalComponents({
        ...input,
        rows: input.rows.map(([first = 0, ...rest]) => [first + shift, ...rest]),
      });
      for (const [k, one] of variance.entries()) {
        const tolerance = { relative: 1e-9, absolute: 1e-10 * Math.max(1, variance[0] ?? 0) };
        expectClose(turned.variance[k], one, tolerance, `turned ${k}`);
        expectClose(shifted.variance[k], one, tolerance, `shifted ${k}`);
      }
    }),
  );
});
