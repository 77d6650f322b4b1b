import fc from 'fast-check';

/** What the tests of ranking methods share; nothing of it comes from the code under test. */

/** Rank 1 for the lowest, by counting who is below and who is equal. */
export const counted = (row: readonly number[]): number[] =>
  row.map((one) => row.filter((other) => other < one).length + (row.filter((other) => other === one).length + 1) / 2);

/** All orders of a list, equal entries told apart. */
export const orders = <T>(list: readonly T[]): T[][] =>
  list.length === 0
    ? [[]]
    : list.flatMap((one, i) => orders([...list.slice(0, i), ...list.slice(i + 1)]).map((rest) => [one, ...rest]));

/** All tables in which each row stands in any of its orders. */
export const shuffles = (table: readonly (readonly number[])[]): number[][][] =>
  table.reduce<number[][][]>((all, row) => orders(row).flatMap((order) => all.map((rows) => [...rows, order])), [[]]);

export const column = (table: readonly (readonly number[])[], j: number): number[] =>
  table.map((row) => row[j] as number);

/** Two-way analysis of variance of the ranks, listeners and items, from cell means and nothing cleverer. */
export function varianceOfRanks(scores: readonly (readonly number[])[]) {
  const ranks = scores.map(counted);
  const n = ranks.length;
  const k = ranks[0]?.length ?? 0;
  const grand = (k + 1) / 2;
  const means = Array.from({ length: k }, (_, j) => column(ranks, j).reduce((a, b) => a + b, 0) / n);
  const items = means.reduce((sum, mean) => sum + n * (mean - grand) ** 2, 0);
  const rest = ranks.flat().reduce((sum, rank, cell) => sum + (rank - (means[cell % k] as number)) ** 2, 0);
  return { items, rest, residualMeanSquare: rest / ((n - 1) * (k - 1)), total: items + rest, means };
}

/** Scores with ties, 2 to 6 listeners, 2 to 5 items, one listener at least telling two items apart. */
export const tiedScores = fc
  .tuple(
    fc.integer({ min: 2, max: 6 }),
    fc.integer({ min: 2, max: 5 }),
    fc.array(fc.integer({ min: 0, max: 4 }), { minLength: 30, maxLength: 30 }),
  )
  .map(([n, k, cells]) => Array.from({ length: n }, (_, i) => cells.slice(i * k, (i + 1) * k)))
  .filter((table) => table.some((row) => new Set(row).size > 1));
