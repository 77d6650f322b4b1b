import { expect, test } from 'vitest';
import { williamsRow } from '../../stats/williams-row';

test.each([1, 2, 3, 4, 5, 6, 10, 28])('Williams rows of order %d make a Latin square', (m) => {
  const rows = Array.from({ length: m }, (_, row) => williamsRow(m, row));
  for (let k = 0; k < m; k++) {
    expect(new Set(rows[k]).size).toBe(m);
    expect(new Set(rows.map((row) => row[k])).size).toBe(m);
  }
  // Even orders: every ordered pair of neighbours comes exactly once (Williams 1949).
  if (m % 2 === 0) {
    const neighbours = rows.flatMap((row) => row.slice(1).map((after, i) => `${row[i]} ${after}`));
    expect(new Set(neighbours).size).toBe(m * (m - 1));
  }
});

test('the first rows stay as they are: sittings drawn from them must come out the same again', () => {
  expect(williamsRow(6, 0)).toEqual([0, 1, 5, 2, 4, 3]);
  expect(williamsRow(6, 4)).toEqual([4, 5, 3, 0, 2, 1]);
  expect(williamsRow(5, 0)).toEqual([0, 1, 4, 2, 3]);
});
