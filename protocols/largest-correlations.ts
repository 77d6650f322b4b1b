import { everyOrder } from '../stats/every-order';
import { centred } from '../stats/moments';
import { seededRandom } from '../stats/seeded-random';
import { shuffled } from '../stats/shuffled';

export interface LargestCorrelation {
  /** Which column of what was measured goes most with this column of what was heard; the first of several. */
  column: number;
  r: number;
  /** Corrected for all pairs of columns. */
  p: number;
}

export interface Correlations {
  /** One a column of what was heard; null where it doesn't vary. */
  columns: (LargestCorrelation | null)[];
  pairs: number;
  deals: number;
  exact: boolean;
}

const mostEnumerated = 7;
const deals = 5000;
const rounding = 1e-9;

/**
 * Which of many measured figures goes most with each of some attributes, over few samples, and how often so much comes of
 * looking long enough: p is the share of deals of the attributes among the samples, all together, in which any pair at all
 * goes together as much (the largest size of r over all pairs: Westfall & Young 1993, Resampling-Based Multiple Testing,
 * section 2.3, from memory). Product-moment correlations.
 * @param measured one row a sample, one column a figure
 * @param heard one row a sample, one column an attribute; as many rows
 */
export function largestCorrelations(
  measured: readonly (readonly number[])[],
  heard: readonly (readonly number[])[],
  seed: string,
): Correlations {
  const [x, y] = [unitColumns(measured), unitColumns(heard)];
  const n = heard.length;
  const inOrder = Array.from({ length: n }, (_, i) => i);
  const largest = (order: readonly number[], attribute: readonly number[] | null) => {
    const best = { column: -1, r: 0 };
    if (attribute === null) return best;
    for (const [column, figures] of x.entries()) {
      if (figures === null) continue;
      let r = 0;
      for (let i = 0; i < n; i++) r += (figures[i] as number) * (attribute[order[i] as number] as number);
      if (Math.abs(r) > Math.abs(best.r) + rounding) Object.assign(best, { column, r });
    }
    return best;
  };
  const seen = y.map((attribute) => largest(inOrder, attribute));
  const exact = n <= mostEnumerated;
  const far: number[] = seen.map(() => (exact ? 0 : 1));
  let looked: number = exact ? 0 : 1;
  const look = (order: readonly number[]) => {
    looked++;
    const most = Math.max(...y.map((attribute) => Math.abs(largest(order, attribute).r)));
    seen.forEach(({ r }, k) => {
      if (most >= Math.abs(r) - rounding) far[k] = (far[k] as number) + 1;
    });
  };
  if (exact) everyOrder(n, look);
  else {
    const random = seededRandom(seed);
    for (let i = 0; i < deals; i++) look(shuffled(inOrder, random));
  }
  const varying = (columns: readonly unknown[]) => columns.filter((one) => one !== null).length;
  return {
    columns: seen.map(({ column, r }, k) =>
      column < 0 ? null : { column, r: Math.min(1, Math.max(-1, r)), p: (far[k] as number) / looked },
    ),
    pairs: varying(x) * varying(y),
    deals: looked,
    exact,
  };
}

/** Columns about their mean and of length 1; null where all are alike but for rounding. */
function unitColumns(rows: readonly (readonly number[])[]): (number[] | null)[] {
  return (rows[0] ?? []).map((_, column) => {
    const values = rows.map((row) => row[column] as number);
    const around = centred(values);
    const length = Math.sqrt(around.reduce((sum, value) => sum + value ** 2, 0));
    return length <= rounding * Math.max(1, ...values.map(Math.abs)) ? null : around.map((value) => value / length);
  });
}
