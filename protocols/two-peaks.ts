import { dipOf, uniformSample } from '../stats/dip';
import { seededRandom } from '../stats/seeded-random';

/** Fewer than these can't show two camps. */
export const fewestForPeaks = 8;

/** Of uniform samples; see below what share of panels it lets be warned of. Few cells are filled by few listeners. */
const shareOf = (n: number): number => (n < 12 ? 0.05 : 0.1);
const samples = 2_000;
/** Below it no number of listeners has its critical value, times √n: 0.40 for eight, 0.47 for many. */
const least = 0.39;
const known = new Map<number, number>();

/**
 * Whether listeners' own means gather in two places rather than one: Hartigan's dip (`stats/dip.ts` has the source),
 * larger than in nine of ten samples of the uniform law, the flattest with a single peak (19 of 20 for fewer than twelve).
 *
 * Ratings come in steps, and steps look like peaks: so values are put into cells as wide as a step, and spread evenly
 * over their cell. That takes away chance from within cells, hence one in ten: of 8 to 60 listeners who rate with one
 * peak, or with none, at most 5 % are called two-peaked, where ratings are about normal at most 0.7 %. Half at 2 and half
 * at 8 of nine points with a standard deviation of 1 are found in 45 % of panels of 12 and in 93 % of 40; camps at 3 and
 * 7 in 8 and 11 %. A coefficient of skewness and kurtosis above 5/9 finds more of them and takes crowding at one end for
 * two peaks, too: in 58 % of panels of 20.
 * `node tests/bench/bench.mjs two-peaks` has all.
 * @param values one a listener
 * @param step as wide as people's answers lie apart
 */
export function twoPeaks(values: readonly number[], step: number): boolean {
  const n = values.length;
  if (n < fewestForPeaks) return false;
  const spread = overCells(values, step);
  const dip = dipOf(spread);
  return dip * Math.sqrt(n) > least && dip > critical(n);
}

/** In cells around whole steps, those of one cell evenly spread over it, sorted. */
export function overCells(values: readonly number[], step: number): number[] {
  const cells = new Map<number, number>();
  for (const value of values) {
    // A middle between two steps goes up, whatever rounding made of it.
    const cell = Math.round(value / step + 1e-9);
    cells.set(cell, (cells.get(cell) ?? 0) + 1);
  }
  return [...cells]
    .flatMap(([cell, count]) => Array.from({ length: count }, (_, k) => step * (cell + (k + 0.5) / count - 0.5)))
    .sort((a, b) => a - b);
}

function critical(n: number): number {
  const found = known.get(n);
  if (found !== undefined) return found;
  const random = seededRandom(`uniform ${n}`);
  const dips = Float64Array.from({ length: samples }, () => dipOf(uniformSample(n, () => random.uniform()))).sort();
  const value = dips[Math.ceil((1 - shareOf(n)) * samples) - 1] as number;
  known.set(n, value);
  return value;
}
