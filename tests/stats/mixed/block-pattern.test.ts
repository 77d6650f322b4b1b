import fc from 'fast-check';
import { expect, test } from 'vitest';
import { blockPattern } from '../../../stats/mixed/block-pattern';
import { BorderedCholesky } from '../../../stats/mixed/bordered-cholesky';
import { seededRandom } from '../../../stats/seeded-random';

const shape = fc.record({
  sizes: fc.array(fc.integer({ min: 1, max: 3 }), { minLength: 1, maxLength: 8 }),
  joined: fc.array(fc.boolean(), { minLength: 28, maxLength: 28 }),
  rows: fc.integer({ min: 1, max: 3 }),
  seed: fc.nat(),
});

/** A positive definite matrix with entries where nodes are joined, as dense rows, and the same written into a factor. */
function made({ sizes, joined, rows, seed }: { sizes: number[]; joined: boolean[]; rows: number; seed: number }) {
  const random = seededRandom(seed);
  const between = () => random.uniform() - 0.5;
  let pair = 0;
  const meets = sizes.map((_, j) => sizes.map((__, i) => i > j && (joined[pair++ % joined.length] ?? false)));
  const nodeOf = sizes.flatMap((size, node) => Array.from({ length: size }, () => node));
  const n = nodeOf.length + rows;
  const matrix = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  const set = (i: number, j: number, value: number) => {
    (matrix[i] as number[])[j] = value;
    (matrix[j] as number[])[i] = value;
  };
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const [a, b] = [nodeOf[i], nodeOf[j]];
      const there = a === undefined || b === undefined || a === b || meets[b]?.[a];
      if (there) set(i, j, between());
    }
    set(i, i, n + random.uniform());
  }
  const later = meets.map((row) => row.flatMap((meeting, i) => (meeting ? [i] : [])));
  const pattern = blockPattern(Int32Array.from(sizes), later);
  const factor = new BorderedCholesky(pattern, rows);
  const columns = nodeOf.length;
  const write = () => {
    for (let j = 0; j < columns; j++) {
      for (let p = pattern.columnStart[j] ?? 0; p < (pattern.columnStart[j + 1] ?? 0); p++) {
        factor.values[p] = matrix[pattern.rowOf[p] ?? 0]?.[j] ?? Number.NaN;
      }
      for (let b = 0; b < rows; b++) factor.border[j * rows + b] = matrix[columns + b]?.[j] ?? Number.NaN;
    }
    for (let a = 0; a < rows; a++) {
      for (let b = 0; b <= a; b++) factor.corner[a * rows + b] = matrix[columns + a]?.[columns + b] ?? Number.NaN;
    }
  };
  return { matrix, pattern, factor, columns, rows, write, set };
}

test('the factor times itself is the matrix, and rows below a column ascend', () => {
  fc.assert(
    fc.property(shape, (given) => {
      const { matrix, pattern, factor, columns, rows, write } = made(given);
      write();
      expect(factor.factorise()).toBe(true);
      const n = columns + rows;
      const lower = Array.from({ length: n }, () => new Array<number>(n).fill(0));
      for (let j = 0; j < columns; j++) {
        let before = j - 1;
        for (let p = pattern.columnStart[j] ?? 0; p < (pattern.columnStart[j + 1] ?? 0); p++) {
          const row = pattern.rowOf[p] ?? 0;
          expect(row).toBeGreaterThan(before);
          before = row;
          (lower[row] as number[])[j] = factor.values[p] ?? Number.NaN;
        }
        for (let b = 0; b < rows; b++) (lower[columns + b] as number[])[j] = factor.border[j * rows + b] ?? 0;
      }
      for (let a = 0; a < rows; a++) {
        for (let b = 0; b <= a; b++) (lower[columns + a] as number[])[columns + b] = factor.corner[a * rows + b] ?? 0;
      }
      for (let i = 0; i < n; i++) {
        for (let j = 0; j <= i; j++) {
          const product = (lower[i] ?? []).reduce((sum, value, k) => sum + value * (lower[j]?.[k] ?? 0), 0);
          expect(Math.abs(product - (matrix[i]?.[j] ?? Number.NaN))).toBeLessThan(1e-11);
        }
      }
    }),
    { seed: 31, numRuns: 60 },
  );
});

test('the way back gives the slope of the logarithms by every entry, as small changes of it do', () => {
  fc.assert(
    fc.property(shape, (given) => {
      const { matrix, pattern, factor, columns, rows, write, set } = made(given);
      const inCorner = Float64Array.from({ length: rows }, (_, a) => a + 1);
      const value = () => {
        write();
        factor.factorise();
        let sum = 0;
        for (let j = 0; j < columns; j++) sum += 2 * Math.log(factor.diagonal(j));
        for (let a = 0; a < rows; a++) sum += (inCorner[a] ?? 0) * (factor.corner[a * rows + a] ?? 0);
        return sum;
      };
      value();
      factor.takeBack(2, inCorner);
      const slopes = [factor.valuesAdjoint.slice(), factor.borderAdjoint.slice()] as const;
      const check = (i: number, j: number, slope: number | undefined) => {
        const there = matrix[i]?.[j] ?? 0;
        const [above, below] = [1e-5, -1e-5].map((by) => {
          set(i, j, there + by);
          return value();
        }) as [number, number];
        set(i, j, there);
        expect(Math.abs((above - below) / 2e-5 - (slope ?? Number.NaN))).toBeLessThan(1e-7);
      };
      for (let j = 0; j < columns; j++) {
        for (let p = pattern.columnStart[j] ?? 0; p < (pattern.columnStart[j + 1] ?? 0); p++) {
          check(pattern.rowOf[p] ?? 0, j, slopes[0][p]);
        }
        for (let b = 0; b < rows; b++) check(columns + b, j, slopes[1][j * rows + b]);
      }
    }),
    { seed: 32, numRuns: 15 },
  );
});

test('rows that a column doesn’t know are passed over, and not a bit changes', () => {
  const known = fc.array(fc.boolean(), { minLength: 72, maxLength: 72 });
  fc.assert(
    fc.property(shape, known, (given, knows) => {
      const { matrix, pattern, factor, columns, rows, write, set } = made(given);
      const touched = Array.from({ length: columns }, (_, j) =>
        Array.from({ length: rows }, (__, b) => b).filter((b) => knows[(j * rows + b) % knows.length]),
      );
      for (let j = 0; j < columns; j++) {
        for (let b = 0; b < rows; b++) if (!touched[j]?.includes(b)) set(columns + b, j, 0);
      }
      const sparse = new BorderedCholesky(pattern, rows, touched);
      write();
      sparse.values.set(factor.values);
      sparse.corner.set(factor.corner);
      for (const [j, known] of touched.entries()) {
        for (const b of known) sparse.border[j * rows + b] = matrix[columns + b]?.[j] ?? Number.NaN;
      }
      expect(sparse.factorise()).toBe(factor.factorise());
      const inCorner = Float64Array.from({ length: rows }, (_, a) => a + 1);
      for (const one of [sparse, factor]) one.takeBack(2, inCorner);
      // Plus nothing: of a 0 the sign may differ.
      const bits = (values: Float64Array) => [...values].map((value) => value + 0);
      for (const what of ['values', 'border', 'corner', 'valuesAdjoint'] as const) {
        expect(bits(sparse[what])).toEqual(bits(factor[what]));
      }
      for (const [j, known] of touched.entries()) {
        for (const b of known) expect(sparse.borderAdjoint[j * rows + b]).toBe(factor.borderAdjoint[j * rows + b]);
      }
    }),
    { seed: 33, numRuns: 60 },
  );
});

test('what isn’t positive definite is said', () => {
  const pattern = blockPattern(Int32Array.of(1), [[]]);
  const factor = new BorderedCholesky(pattern, 1);
  factor.values[0] = -1;
  factor.corner[0] = 1;
  expect(factor.factorise()).toBe(false);
  factor.values[0] = 1;
  factor.border[0] = 2;
  factor.corner[0] = 1;
  expect(factor.factorise()).toBe(false);
});
