import { list } from './check';
import { StatsError } from './errors';

interface PairMatrixRules {
  /** Fewest and most items. */
  min: number;
  max: number;
  /** Reads what stands beside the diagonal. */
  cell: (value: unknown, path: string) => number;
  /** What the diagonal may hold, besides null. */
  diagonal: readonly number[];
}

/** A square table of pairs, row against column, its diagonal 0 whatever stood there. */
export function pairMatrix(value: unknown, path: string, { min, max, cell, diagonal }: PairMatrixRules): number[][] {
  const rows = list(value, path, min, 'rows', max);
  return rows.map((row, i) =>
    list(row, `${path}.${i}`, rows.length, 'entries', rows.length).map((one, j) => {
      const at = `${path}.${i}.${j}`;
      if (i !== j) return cell(one, at);
      if (one === null || diagonal.some((allowed) => allowed === one)) return 0;
      throw new StatsError('wrong-type', at, 'compares an item with itself', `${diagonal.join(', ')} or null`, one);
    }),
  );
}

/** What each two items, numbered from 0, have against one another; every pair once. */
export function eachPair(matrix: readonly (readonly number[])[], visit: PairVisit): void {
  matrix.forEach((row, i) => {
    for (let j = i + 1; j < matrix.length; j++) visit(i, j, row[j] as number, matrix[j]?.[i] as number);
  });
}

type PairVisit = (i: number, j: number, forward: number, backward: number) => void;

/** Refuses a pair whose two cells don't add up to `total`. */
export function requireMirrored(matrix: readonly (readonly number[])[], path: string, total: number, slack = 0): void {
  eachPair(matrix, (i, j, forward, backward) => {
    if (Math.abs(forward + backward - total) <= slack) return;
    const allowed = `cells ${i}, ${j} and ${j}, ${i} that add up to ${total}`;
    const came = `${forward} and ${backward}`;
    throw new StatsError('inconsistent', `${path}.${i}.${j}`, 'disagrees with its mirror image', allowed, came);
  });
}
