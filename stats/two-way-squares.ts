import { centred, largest, mean, onlyRounding, sumOfSquares } from './moments';

/** Sums of squares of a full table of one value a cell; each is exactly 0 where it is what rounding leaves of zero. */
export interface TwoWaySquares {
  /** Between the means of the rows. */
  rows: number;
  /** Between the means of the columns. */
  columns: number;
  /** What row and column leave of a cell. */
  residual: number;
  /** Within the rows: columns and residual together. */
  within: number;
}

/**
 * Splits the variation of a table in two ways (Fisher 1935, The Design of Experiments, chapter IV). The squares are those
 * of deviations, never differences of squares, and taken twice around the mean, so that figures far from zero lose
 * nothing.
 */
export function twoWaySquares(table: readonly (readonly number[])[]): TwoWaySquares {
  const cells = centred(table.flat());
  const rows = table.length;
  const columns = cells.length / rows;
  const values = Array.from({ length: rows }, (_, i) => cells.slice(i * columns, (i + 1) * columns));
  const ofRow = centred(values.map(mean));
  const ofColumn = centred(Array.from({ length: columns }, (_, j) => mean(values.map((row) => row[j] as number))));
  const rest = values.flatMap((row, i) => row.map((y, j) => y - (ofRow[i] as number) - (ofColumn[j] as number)));
  const reach = largest(table.flat());
  const squares = (deviations: readonly number[], weight: number) => {
    const total = weight * sumOfSquares(deviations);
    return onlyRounding(total, cells.length, reach) ? 0 : total;
  };
  const between = squares(ofColumn, rows);
  const residual = squares(rest, 1);
  return { rows: squares(ofRow, columns), columns: between, residual, within: between + residual };
}
