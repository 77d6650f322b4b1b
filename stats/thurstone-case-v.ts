import { itemNames, number, options, whole } from './check';
import { normalQuantile } from './distributions';
import { StatsError } from './errors';
import { eachPair, pairMatrix, requireMirrored } from './pair-matrix';

export interface ThurstoneCaseVInput {
  items: readonly string[];
  wins?: readonly (readonly (number | null)[])[] | undefined;
  proportions?: readonly (readonly (number | null)[])[] | undefined;
}

export interface ThurstoneCaseVResult {
  scale: number[];
}

/**
 * Where items lie on one scale, from the shares of paired comparisons alone: Thurstone's case V by least squares.
 *
 * Use it for a quick scale by hand from a full table; `bradleyTerry` gives errors, copes with missing pairs and with items
 * that always win. Assumes that the strength felt of each item varies normally with the same spread, and independently;
 * the unit is the standard deviation of a difference. Each pair weighs the same, however often it was judged.
 *
 * @param input.items names, at least two, in the order of rows and columns
 * @param input.wins how often the row was preferred to the column, whole numbers; diagonal 0 or null. Either this or
 *   `proportions`
 * @param input.proportions share that preferred the row to the column, above 0 and below 1, mirrored cells adding up to 1
 *   (to 1e-9); diagonal 0.5, 0 or null
 * @returns scale: one value an item, in the order of `items`, mean zero; higher is preferred. Each is the mean of the
 *   row's normal scores, the diagonal counting as 0, over all items
 * @throws StatsError separated where one of two items was always preferred (the pair is named: its normal score is
 *   infinite), not-enough-data where a pair was never judged, inconsistent (mirrored cells, number of items, both tables),
 *   missing, unknown-option, wrong-type, out-of-range
 *
 * Accuracy: 1e-14 absolute.
 * Source: Thurstone (1927), Psychological Review 34:273–286; Mosteller (1951), Psychometrika 16:3–9 (least squares;
 * formula from memory).
 *
 * @example
 * thurstoneCaseV({ items: ['A', 'B', 'C'], proportions: [[0.5, 0.6, 0.8], [0.4, 0.5, 0.7], [0.2, 0.3, 0.5]] })
 * // { scale: [0.364989445569571, 0.0903511365240803, -0.455340582093652] }
 */
export function thurstoneCaseV(input: ThurstoneCaseVInput): ThurstoneCaseVResult {
  options(input, ['items', 'wins', 'proportions']);
  const items = itemNames(input.items, 'items');
  const { matrix, path } = tableOf(input, items);
  const n = items.length;
  const sums = items.map(() => 0);
  eachPair(matrix, (i, j, forward, backward) => {
    const names = `${items[i]} and ${items[j]}`;
    const at = `${path}.${i}.${j}`;
    const total = forward + backward;
    if (total === 0) {
      throw new StatsError('not-enough-data', at, `${names} were never compared`, 'answers for every pair', total);
    }
    if (forward === 0 || backward === 0) {
      const [winner, loser] = forward > 0 ? [items[i], items[j]] : [items[j], items[i]];
      const wrong = `${winner} was always preferred to ${loser}, which has no finite normal score`;
      throw new StatsError(
        'separated',
        at,
        wrong,
        `some preferences either way for ${names}`,
        `${forward} : ${backward}`,
      );
    }
    // From the smaller share, which has lost no digit, so that i against j is exactly minus j against i.
    const score = forward <= backward ? normalQuantile(forward / total) : -normalQuantile(backward / total);
    sums[i] = (sums[i] as number) + score;
    sums[j] = (sums[j] as number) - score;
  });
  return { scale: sums.map((sum) => sum / n) };
}

function tableOf(input: ThurstoneCaseVInput, items: readonly string[]): { matrix: number[][]; path: string } {
  const { wins, proportions } = input;
  const counted = wins !== undefined && wins !== null;
  const shared = proportions !== undefined && proportions !== null;
  if (counted && shared) {
    throw new StatsError('inconsistent', 'proportions', 'stand beside wins', 'one of the two', 'both');
  }
  if (!counted && !shared) throw new StatsError('missing', 'wins', 'are missing', 'wins or proportions', wins);
  const path = counted ? 'wins' : 'proportions';
  const matrix = counted
    ? pairMatrix(wins, path, { min: 2, max: 1000, cell: (v, at) => whole(v, at, { min: 0, max: 1e9 }), diagonal: [0] })
    : pairMatrix(proportions, path, {
        min: 2,
        max: 1000,
        cell: (v, at) => number(v, at, { min: 0, max: 1 }),
        diagonal: [0.5, 0],
      });
  if (matrix.length !== items.length) {
    throw new StatsError(
      'inconsistent',
      path,
      'has not one row an item',
      `${items.length} rows`,
      `${matrix.length} rows`,
    );
  }
  if (shared) requireMirrored(matrix, path, 1, 1e-9);
  return { matrix, path };
}
