import { matrixOf, options, whole } from './check';
import { chiSquareUpper } from './distributions';
import { StatsError } from './errors';

export interface CochranQInput {
  answers: readonly (readonly number[])[];
}

export interface CochranQResult {
  q: number;
  degreesOfFreedom: number;
  p: number;
}

/**
 * Whether a tick is given to some items more often than to others, each listener having judged all of them: Cochran's Q.
 *
 * Use it for one attribute that is ticked or not, or for right and wrong answers under several conditions. Assumes
 * independent listeners; under the null the ticks of a listener could as well stand at any other items. Listeners who
 * ticked all or none say nothing about differences and drop out by themselves. With two items it is McNemar's χ² without
 * correction, where `mcnemar` is exact.
 *
 * @param input.answers rows are at least two listeners, columns at least two items; 0 or 1
 * @returns q; degreesOfFreedom: items − 1; p: upper tail of χ²
 * @throws StatsError no-variation where every listener ticked all or none; missing, unknown-option, wrong-type,
 *   out-of-range, not-enough-data, inconsistent (rows of unequal length)
 *
 * Accuracy: 1e-10 relative; the χ² itself is an approximation for many listeners.
 * Source: Cochran (1950), Biometrika 37:256–266; Conover (1999), Practical Nonparametric Statistics, section 4.6 (formula
 * from memory).
 *
 * @example
 * cochranQ({ answers: [[1, 1, 0], [1, 0, 0], [1, 1, 1], [0, 1, 0], [1, 1, 0]] })
 * // { q: 4.5, degreesOfFreedom: 2, p: 0.105399224561864 }
 */
export function cochranQ(input: CochranQInput): CochranQResult {
  options(input, ['answers']);
  const answers = matrixOf(input.answers, 'answers', { rows: 2, columns: 2, of: 'answers, 0 or 1' }, (cell, path) =>
    whole(cell, path, { min: 0, max: 1 }),
  );
  const items = answers[0]?.length ?? 0;
  const byItem = new Array<number>(items).fill(0);
  let ticks = 0;
  // Σ ticks·(items − ticks) over listeners: 0 for whoever ticked all or none.
  let divided = 0;
  for (const row of answers) {
    let own = 0;
    row.forEach((answer, j) => {
      own += answer;
      byItem[j] = (byItem[j] as number) + answer;
    });
    ticks += own;
    divided += own * (items - own);
  }
  if (divided === 0) {
    const allowed = 'a listener who ticked some items and not others';
    throw new StatsError('no-variation', 'answers', 'tell no item from another', allowed, `${ticks} ticks in all`);
  }
  const squares = byItem.reduce((sum, count) => sum + (items * count - ticks) ** 2, 0) / items;
  const q = ((items - 1) * squares) / divided;
  return { q, degreesOfFreedom: items - 1, p: chiSquareUpper(q, items - 1) };
}
