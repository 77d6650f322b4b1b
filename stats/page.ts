import { list, matrix, options, whole } from './check';
import { normalUpper } from './distributions';
import { StatsError } from './errors';
import { pageUpper } from './page-distribution';
import { midRanks } from './ranks';

export interface PageInput {
  scores: readonly (readonly number[])[];
  order?: readonly number[] | undefined;
}

export interface PageResult {
  l: number;
  expected: number;
  variance: number;
  z: number;
  p: number;
  exact: boolean;
}

const mostItems = 8;
const mostCells = 40;

/**
 * Whether scores rise in an order that was expected before listening: Page's trend test.
 *
 * Use it where the items have a natural order, say steps of one change; against that one alternative it finds more than
 * `friedman`, and against all others it is blind. Assumes independent listeners who each judged every item, and an order
 * that was fixed beforehand.
 *
 * @param input.scores rows are listeners, columns at least two items; any figures, ties allowed
 * @param input.order column numbers from 1 in the expected ascending order, each once; by default as they stand
 * @returns l = Σ place in the order × rank sum, rank 1 being the lowest score; expected = nk(k + 1)²/4 and variance =
 *   nk²(k + 1)²(k − 1)/144 for n listeners and k items, not corrected for ties; z; p, one-sided: so large an l or larger;
 *   exact: true without ties up to 8 items and 40 cells, else p is the upper tail of z, without continuity correction
 * @throws StatsError no-variation where every listener ties all items; inconsistent (order; rows of unequal length);
 *   missing, unknown-option, wrong-type, out-of-range, not-enough-data
 *
 * Accuracy: 1e-12 relative.
 * Source: Page (1963), JASA 58:216–230 (formulas from memory).
 *
 * @example
 * page({ scores: [[1, 2, 3], [1, 3, 2], [2, 1, 3]] })
 * // { l: 40, expected: 36, variance: 6, z: 1.63299316185545, p: 0.0879629629629630, exact: true }
 */
export function page(input: PageInput): PageResult {
  options(input, ['scores', 'order']);
  const scores = matrix(input.scores, 'scores', { rows: 1, columns: 2 });
  const n = scores.length;
  const k = scores[0]?.length ?? 0;
  const places = placesOf(input.order, k);
  let l = 0;
  let groups = 0;
  for (const row of scores) {
    const { ranks, tieSizes } = midRanks(row);
    groups += tieSizes.length;
    for (let j = 0; j < k; j++) l += (places[j] as number) * (ranks[j] as number);
  }
  if (groups === n) {
    const wrong = 'are all tied, so there is no trend to test';
    throw new StatsError('no-variation', 'scores', wrong, 'a listener who tells two items apart', 'ties only');
  }
  const expected = (n * k * (k + 1) ** 2) / 4;
  const variance = (n * k ** 2 * (k + 1) ** 2 * (k - 1)) / 144;
  const z = (l - expected) / Math.sqrt(variance);
  const exact = groups === n * k && k <= mostItems && n * k <= mostCells;
  return { l, expected, variance, z, p: exact ? pageUpper(l, k, n) : normalUpper(z), exact };
}

/** The place of each column in the expected order, from 1. */
function placesOf(order: unknown, items: number): number[] {
  if (order === undefined) return Array.from({ length: items }, (_, j) => j + 1);
  const places = new Array<number>(items).fill(0);
  const columns = list(order, 'order', 1, 'column numbers');
  if (columns.length !== items) {
    const allowed = `each of the ${items} columns once`;
    throw new StatsError(
      'inconsistent',
      'order',
      'differs in length from the rows',
      allowed,
      `${columns.length} entries`,
    );
  }
  columns.forEach((value, i) => {
    const column = whole(value, `order.${i}`, { min: 1, max: items });
    if (places[column - 1] !== 0) {
      throw new StatsError('inconsistent', `order.${i}`, 'occurs twice', 'each column once', column);
    }
    places[column - 1] = i + 1;
  });
  return places;
}
