import { matrix, options } from './check';
import { StatsError } from './errors';
import { twoWaySquares } from './two-way-squares';

export interface CronbachAlphaInput {
  scores: readonly (readonly number[])[];
}

/**
 * How well several items measure one thing, when their sum is used: Cronbach's alpha.
 *
 * Use it on questions, attributes or listeners (as the items) whose scores will be added up or averaged. Assumes that all
 * point the same way; turn a scale that runs backwards first. It is a lower bound of reliability, not a proof that the
 * items measure one thing only.
 *
 * @param input.scores one row a case (listener, sample), one column an item; at least 2 of each, no gaps
 * @returns alpha = k/(k − 1)·(1 − sum of the items' variances / variance of the sums), which equals the average form of
 *   `icc` twoWayMixed; at most 1, negative without floor where items contradict each other
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent (rows of unequal
 *   length), no-variation (all cases have the same sum)
 *
 * Accuracy: 1e-12 relative to the largest score.
 * Source: Cronbach (1951), Psychometrika 16:297–334, equation 2; by way of the mean squares, Hoyt (1941), Psychometrika
 * 6:153–160.
 *
 * @example
 * cronbachAlpha({ scores: [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]] })
 * // { alpha: 0.909315542377069 }
 */
export function cronbachAlpha(input: CronbachAlphaInput): { alpha: number } {
  options(input, ['scores']);
  const scores = matrix(input.scores, 'scores', { rows: 2, columns: 2 });
  const items = scores[0]?.length ?? 0;
  const { rows, residual } = twoWaySquares(scores);
  if (rows === 0) {
    const wrong = 'have the same sum in every case';
    throw new StatsError('no-variation', 'scores', wrong, 'cases whose sums differ', 'equal sums');
  }
  return { alpha: 1 - residual / (items - 1) / rows };
}
