import { expect, test } from 'vitest';
import { largestCorrelations } from '../../protocols/largest-correlations';
import { correlation } from '../../stats/correlation';
import { seededRandom } from '../../stats/seeded-random';

const random = seededRandom('largest');
const table = (rows: number, columns: number) =>
  Array.from({ length: rows }, () => Array.from({ length: columns }, () => random.uniform()));

test('the largest of all correlations with each attribute, and p by hand', () => {
  const measured = [
    [1, 5],
    [2, 1],
    [4, 2],
  ];
  const found = largestCorrelations(measured, [[1], [2], [4]], 'x');
  expect(found).toMatchObject({ pairs: 2, deals: 6, exact: true });
  expect(found.columns[0]).toMatchObject({ column: 0 });
  expect(found.columns[0]?.r).toBeCloseTo(1, 12);
  // Of six orders one goes with the first column wholly, and none with the second.
  expect(found.columns[0]?.p).toBeCloseTo(1 / 6, 12);
});

test('r is that of the statistics', () => {
  const [x, y] = [table(6, 1), table(6, 1)];
  const [found] = largestCorrelations(x, y, 'x').columns;
  const r = correlation({ first: x.flat(), second: y.flat() }).value;
  expect(found?.r).toBeCloseTo(r ?? 9, 12);
});

test('with many pairs something always goes together: p holds its level all the same', () => {
  let found = 0;
  for (let i = 0; i < 60; i++) {
    const { columns } = largestCorrelations(table(5, 6), table(5, 8), 'x');
    if (columns.some((one) => one && one.p <= 0.05)) found++;
    expect(Math.max(...columns.map((one) => Math.abs(one?.r ?? 0)))).toBeGreaterThan(0.6);
  }
  // 5 % of 60 is 3; 10 would come once in 1,000 times.
  expect(found).toBeLessThan(10);
});

test('what doesn’t vary goes with nothing; from eight samples on deals are drawn', () => {
  const still = table(5, 1).map(() => [2]);
  expect(largestCorrelations(table(5, 2), still, 'x').columns).toEqual([null]);
  expect(largestCorrelations(still, table(5, 1), 'x')).toMatchObject({ columns: [null], pairs: 0 });
  const rows = table(8, 2);
  const found = largestCorrelations(rows, rows, 'x');
  expect(found).toMatchObject({ exact: false, deals: 5001 });
  expect(largestCorrelations(rows, rows, 'x')).toEqual(found);
});
