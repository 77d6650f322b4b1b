import { fUpper } from './distributions';
import { StatsError } from './errors';
import { centred, largest, mean, onlyRounding, sum, sumOfSquares } from './moments';
import { type PanelName, type PanelScore, panelTable } from './panel-table';
import { productMoment } from './product-moment';
import { twoWaySquares } from './two-way-squares';

export interface PanelPerformanceInput {
  rows: readonly PanelScore[];
}

export interface ListenerPerformance {
  listener: PanelName;
  discriminationF: number | null;
  discriminationP: number | null;
  repeatabilitySd: number;
  agreement: number | null;
  bias: number;
}

export interface PanelRow {
  source: 'listener' | 'item' | 'listener × item' | 'residual';
  sumOfSquares: number;
  degreesOfFreedom: number;
  meanSquare: number;
  f: number | null;
  p: number | null;
}

export interface PanelPerformanceResult {
  listeners: ListenerPerformance[];
  panel: { rows: PanelRow[] };
}

/**
 * How well each listener, and the panel as a whole, tell items apart, repeat themselves and agree.
 *
 * Use it on scores of one attribute, every item scored by every listener equally often and at least twice. Assumes that
 * what is left between a listener's replicates varies equally and about normally.
 *
 * @param input.rows one score each: listener, item and replicate (names: texts, or numbers, which count as their texts),
 *   score. At least 2 listeners, 2 items and 2 replicates; every listener × item the same number of replicates, whose
 *   names only tell them apart
 * @returns listeners, in order of their first row: discriminationF of the listener's own analysis of variance, items
 *   against residual, and its upper tail discriminationP; repeatabilitySd, the root of the listener's residual mean square;
 *   agreement, Pearson's correlation of the listener's item means with those of all the others (with 2 items always ±1:
 *   same or opposite direction); bias, the listener's mean less the mean of the whole panel, the listener in it.
 *   panel.rows: listener and listener × item tested on the residual, item on listener × item, since listeners are a
 *   sample and items are not (listener on the residual as in the restricted mixed model); p are upper tails. `null`: f and
 *   p of the residual, f and p where what they are tested on is 0 (replicates that repeat exactly), and agreement where
 *   either list of item means is constant
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data (one listener, item or
 *   replicate), inconsistent (a replicate twice, a cell empty or with another number of replicates: the message names
 *   them), no-variation (all scores alike)
 *
 * Accuracy: sums of squares 1e-12 relative to the largest score, p 1e-11.
 * Source: Scheffé (1959), The Analysis of Variance, section 8.1 (mixed model); ISO 11132:2012 (discrimination,
 * repeatability, bias and agreement of an assessor). Formulas from memory, the panel's checked against R.
 *
 * @example
 * panelPerformance({
 *   rows: ['P1 A 1 4', 'P1 A 2 5', 'P1 B 1 7', 'P1 B 2 8', 'P2 A 1 3', 'P2 A 2 6', 'P2 B 1 5', 'P2 B 2 7']
 *     .map((row) => row.split(' '))
 *     .map(([listener, item, replicate, score]) => ({ listener, item, replicate, score: Number(score) })),
 * }).listeners[1]
 * // { listener: 'P2', discriminationF: 0.692307692307692, repeatabilitySd: 1.80277563773199, agreement: 1, bias: -0.375 }
 */
export function panelPerformance(input: PanelPerformanceInput): PanelPerformanceResult {
  const { listeners, replicates, cells } = panelTable(input);
  const every = cells.flat(2);
  const items = cells[0]?.length ?? 0;
  const scores = centred(every);
  const reach = largest(every);
  const still = (total: number, n: number) => (onlyRounding(total, n, reach) ? 0 : total);
  if (still(sumOfSquares(scores), every.length) === 0) {
    throw new StatsError('no-variation', 'rows', 'hold one score only', 'scores that differ', every[0]);
  }
  let next = 0;
  const deviations = cells.map((row) => row.map((cell) => cell.map(() => scores[next++] as number)));
  const means = deviations.map((row) => row.map(mean));
  const within = deviations.map((row) => still(sumOfSquares(row.flatMap(centred)), items * replicates));

  const cellFreedom = items * (replicates - 1);
  const of = listeners.map((listener, i): ListenerPerformance => {
    const own = means[i] ?? [];
    const between = still(replicates * sumOfSquares(centred(own)), items * replicates);
    const residual = (within[i] as number) / cellFreedom;
    const others = own.map((_, j) => mean(means.filter((_, other) => other !== i).map((row) => row[j] as number)));
    const { f, p } = tested(between / (items - 1), items - 1, residual, cellFreedom);
    return {
      listener,
      discriminationF: f,
      discriminationP: p,
      repeatabilitySd: Math.sqrt(residual),
      agreement: agreement(own, others, reach),
      bias: mean(own),
    };
  });
  return { listeners: of, panel: { rows: panelRows(means, replicates, sum(within), reach) } };
}

function agreement(own: readonly number[], others: readonly number[], reach: number): number | null {
  const flat = (values: readonly number[]) => onlyRounding(sumOfSquares(centred(values)), values.length, reach);
  return flat(own) || flat(others) ? null : (productMoment(own, others)?.r ?? null);
}

function panelRows(means: number[][], replicates: number, residualSquares: number, reach: number): PanelRow[] {
  const listeners = means.length;
  const items = means[0]?.length ?? 0;
  const cells = listeners * items * replicates;
  const squares = twoWaySquares(means);
  const row = (source: PanelRow['source'], sumOfSquares: number, degreesOfFreedom: number) => ({
    source,
    sumOfSquares,
    degreesOfFreedom,
    meanSquare: sumOfSquares / degreesOfFreedom,
  });
  const times = (part: number) => (onlyRounding(replicates * part, cells, reach) ? 0 : replicates * part);
  const listener = row('listener', times(squares.rows), listeners - 1);
  const item = row('item', times(squares.columns), items - 1);
  const both = row('listener × item', times(squares.residual), (listeners - 1) * (items - 1));
  const residual = row('residual', residualSquares, listeners * items * (replicates - 1));
  const against = (one: typeof listener, error: typeof listener): PanelRow => ({
    ...one,
    ...tested(one.meanSquare, one.degreesOfFreedom, error.meanSquare, error.degreesOfFreedom),
  });
  return [against(listener, residual), against(item, both), against(both, residual), { ...residual, f: null, p: null }];
}

function tested(
  meanSquare: number,
  numerator: number,
  error: number,
  denominator: number,
): { f: number | null; p: number | null } {
  if (error === 0) return { f: null, p: null };
  const f = meanSquare / error;
  return { f, p: fUpper(f, numerator, denominator) };
}
