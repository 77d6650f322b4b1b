import { matrix, options, probability } from './check';
import { fUpper, studentizedRangeUpper, studentizedRangeUpperQuantile } from './distributions';
import { StatsError } from './errors';
import { mean } from './moments';
import { twoWaySquares } from './two-way-squares';

export interface AnovaBlocksInput {
  scores: readonly (readonly number[])[];
  level?: number | undefined;
}

export interface AnovaRow {
  source: 'items' | 'listeners' | 'residual';
  sumOfSquares: number;
  degreesOfFreedom: number;
  meanSquare: number;
  f: number | null;
  p: number | null;
}

export interface TukeyPair {
  a: number;
  b: number;
  difference: number;
  lower: number;
  upper: number;
  p: number;
}

export interface AnovaBlocksResult {
  rows: AnovaRow[];
  residualMeanSquare: number;
  tukey: TukeyPair[];
}

/** All pairs of more would be a list that nobody reads. */
const mostItems = 100;

/**
 * Whether items are rated differently where every listener rated all of them, and which from which: analysis of variance
 * with listeners as blocks, and all pairs by Tukey.
 *
 * Use it on one rating of each item by each listener. Assumes that listeners answer independently, shift all items alike,
 * and that what is left varies equally and about normally for all items; with ranks instead of ratings see `friedman`.
 *
 * @param input.scores one row a listener, one column an item; at least 2 rows and 2 to 100 columns, no gaps
 * @param input.level of all intervals together, two-sided, between 0 and 1, by default 0.95
 * @returns rows for items, listeners and residual: source, sumOfSquares, degreesOfFreedom, meanSquare, f against the
 *   residual and its upper tail p, both `null` in the residual's own row; residualMeanSquare; tukey: for all pairs a < b of
 *   column numbers from 1 the difference of means a − b, its limits, which hold for all pairs at once, and p of the
 *   studentized range beyond |difference|
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent (rows of unequal
 *   length), no-variation (listeners differ by the same in every item, so nothing is left to compare with)
 *
 * Accuracy: sums of squares 1e-12 relative to the largest score, p 1e-11, Tukey's p and limits 1e-10.
 * Source: Fisher (1935), The Design of Experiments, chapter IV (randomised blocks); Tukey (1953), The Problem of Multiple
 * Comparisons. Formulas from memory.
 *
 * @example
 * anovaBlocks({ scores: [[3, 5, 6], [4, 4, 6], [2, 5, 7], [5, 6, 6]] }).rows[0]
 * // { source: 'items', sumOfSquares: 15.1666666666667, degreesOfFreedom: 2, f: 8.27272727272727, p: 0.0188484987076634 }
 */
export function anovaBlocks(input: AnovaBlocksInput): AnovaBlocksResult {
  options(input, ['scores', 'level']);
  const scores = matrix(input.scores, 'scores', { rows: 2, columns: 2 });
  const level = probability(input.level ?? 0.95, 'level');
  const items = scores[0]?.length ?? 0;
  if (items > mostItems) {
    throw new StatsError(
      'out-of-range',
      'scores',
      'has too many columns',
      `2 to ${mostItems} columns`,
      `${items} columns`,
    );
  }
  const rows = blockRows(scores);
  const residual = rows[2];
  // Around the first listener's first score, so that figures far from zero keep the digits of their differences.
  const origin = scores[0]?.[0] ?? 0;
  const ofItem = Array.from({ length: items }, (_, j) => mean(scores.map((row) => (row[j] as number) - origin)));
  return {
    rows,
    residualMeanSquare: residual.meanSquare,
    tukey: tukey(ofItem, Math.sqrt(residual.meanSquare / scores.length), residual.degreesOfFreedom, level),
  };
}

/**
 * The table alone, for whoever has no use for the pairs, which take nearly all of the time. Arguments are those of
 * trusted callers: at least 2 rows and columns, no gaps.
 * @throws StatsError no-variation
 */
export function blockRows(scores: readonly (readonly number[])[]): [items: AnovaRow, listeners: AnovaRow, AnovaRow] {
  const items = scores[0]?.length ?? 0;
  const listeners = scores.length;
  const squares = twoWaySquares(scores);
  if (squares.residual === 0) {
    const wrong = 'leave nothing beside items and listeners';
    throw new StatsError('no-variation', 'scores', wrong, 'listeners who differ in more than level', 'a residual of 0');
  }
  const residualDegrees = (items - 1) * (listeners - 1);
  const residualMeanSquare = squares.residual / residualDegrees;
  const tested = (source: 'items' | 'listeners', sumOfSquares: number, degreesOfFreedom: number): AnovaRow => {
    const meanSquare = sumOfSquares / degreesOfFreedom;
    const f = meanSquare / residualMeanSquare;
    return { source, sumOfSquares, degreesOfFreedom, meanSquare, f, p: fUpper(f, degreesOfFreedom, residualDegrees) };
  };
  const residual: AnovaRow = {
    source: 'residual',
    sumOfSquares: squares.residual,
    degreesOfFreedom: residualDegrees,
    meanSquare: residualMeanSquare,
    f: null,
    p: null,
  };
  return [tested('items', squares.columns, items - 1), tested('listeners', squares.rows, listeners - 1), residual];
}

/** All pairs of means that share one standard error each. */
function tukey(means: readonly number[], standardError: number, degreesOfFreedom: number, level: number): TukeyPair[] {
  const groups = means.length;
  const reach = studentizedRangeUpperQuantile(1 - level, groups, degreesOfFreedom) * standardError;
  return means.flatMap((first, i) =>
    means.slice(i + 1).map((second, k) => {
      const difference = first - second;
      const p = studentizedRangeUpper(Math.abs(difference) / standardError, groups, degreesOfFreedom);
      return { a: i + 1, b: i + k + 2, difference, lower: difference - reach, upper: difference + reach, p };
    }),
  );
}
