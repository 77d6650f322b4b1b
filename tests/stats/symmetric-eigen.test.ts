import fc from 'fast-check';
import { expect, test } from 'vitest';
import { leadingEntry, type SymmetricEigen, symmetricEigen } from '../../stats/symmetric-eigen';
import { expectClose } from './support';

const near = { relative: 1e-13, absolute: 1e-13 };
const of = (rows: readonly (readonly number[])[]) => symmetricEigen(Float64Array.from(rows.flat()), rows.length);
const vector = ({ values, vectors }: SymmetricEigen, k: number) =>
  vectors.subarray(k * values.length, (k + 1) * values.length);
const dot = (a: Float64Array, b: Float64Array) => a.reduce((total, x, i) => total + x * (b[i] as number), 0);

test('two by two, by hand', () => {
  const found = of([
    [2, 1],
    [1, 2],
  ]);
  expect([...found.values]).toEqual([3, 1]);
  const half = Math.SQRT1_2;
  for (const [i, expected] of [half, half, half, -half].entries()) {
    expectClose(found.vectors[i], expected, near, `entry ${i}`);
  }
});

// Second differences with fixed ends: eigenvalues 4 sin²(kπ / (2n + 2)), as every text on finite differences has it.
test.each([1, 2, 3, 10, 40])('the matrix of second differences of order %i', (n) => {
  const entry = (i: number, j: number) => (i === j ? 2 : Math.abs(i - j) === 1 ? -1 : 0);
  const { values } = of(Array.from({ length: n }, (_, i) => Array.from({ length: n }, (__, j) => entry(i, j))));
  for (let k = 1; k <= n; k++) {
    expectClose(values[n - k], 4 * Math.sin((k * Math.PI) / (2 * n + 2)) ** 2, near, `value ${k}`);
  }
});

// Rows and columns of a positive definite matrix multiplied by powers of ten: Demmel and Veselić's case.
test('small eigenvalues of a graded matrix keep their digits', () => {
  const { values } = of([
    [1e40, 1e29, 1e19],
    [1e29, 1e20, 1e9],
    [1e19, 1e9, 1],
  ]);
  // Correlations of 0.1 throughout: the determinant over the product of the diagonal, by the rule of Sarrus.
  const determinant = 1 + 2 * 1e-3 - 3 * 1e-2;
  const product = values.reduce((total, value) => total * value, 1e-60);
  expectClose(product, determinant, near, 'product of eigenvalues');
  expectClose(values[0], 1e40, { relative: 1e-12, absolute: 0 }, 'largest');
});

test('nothing, zeros, and values that are equal', () => {
  expect(symmetricEigen(new Float64Array(0), 0).values).toHaveLength(0);
  expect([...of([[-3]]).values, ...of([[-3]]).vectors]).toEqual([-3, 1]);
  const zeros = of([
    [0, 0],
    [0, 0],
  ]);
  expect([...zeros.values, ...zeros.vectors]).toEqual([0, 0, 1, 0, 0, 1]);
  const [first, ...rest] = symmetricEigen(new Float64Array(9).fill(1), 3).values;
  expectClose(first, 3, near, 'rank one');
  for (const value of rest) expectClose(value, 0, near, 'the rest');
});

test('only the upper half is read, and nothing is written to', () => {
  const matrix = Float64Array.of(2, 1, 99, 2);
  expect([...symmetricEigen(matrix, 2).values]).toEqual([3, 1]);
  expect([...matrix]).toEqual([2, 1, 99, 2]);
});

test('the leading entry is the first of those that are alike but for rounding', () => {
  expect(leadingEntry(Float64Array.of(0.1, -0.7, 0.7 + 1e-15))).toBe(1);
  expect(leadingEntry(Float64Array.of(0, 0))).toBe(0);
});

const order = fc.integer({ min: 1, max: 8 });
const symmetric = order.chain((n) =>
  fc
    .array(fc.array(fc.integer({ min: -50, max: 50 }), { minLength: n, maxLength: n }), { minLength: n, maxLength: n })
    .map((rows) => rows.map((row, i) => row.map((value, j) => (j >= i ? value : (rows[j]?.[i] as number))))),
);

test('values descend, vectors are orthonormal, and A·v = value·v', () => {
  fc.assert(
    fc.property(symmetric, (rows) => {
      const found = of(rows);
      const scale = Math.max(1, ...rows.flat().map(Math.abs)) * rows.length;
      for (let k = 0; k < rows.length; k++) {
        if (k > 0) expect(found.values[k] as number).toBeLessThanOrEqual(found.values[k - 1] as number);
        const v = vector(found, k);
        expect(v[leadingEntry(v)] as number).toBeGreaterThan(0);
        for (let l = 0; l <= k; l++) expectClose(dot(v, vector(found, l)), l === k ? 1 : 0, near, `${k}·${l}`);
        for (const [i, row] of rows.entries()) {
          const image = dot(Float64Array.from(row), v);
          const wanted = (found.values[k] as number) * (v[i] as number);
          expectClose(image, wanted, { relative: 0, absolute: 1e-13 * scale }, `row ${i} of vector ${k}`);
        }
      }
    }),
  );
});
