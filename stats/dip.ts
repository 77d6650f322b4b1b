import { figures, options, seedOf, whole } from './check';
import { StatsError } from './errors';
import { seededRandom } from './seeded-random';

export interface DipInput {
  values: readonly number[];
  seed?: number | string | undefined;
  samples?: number | undefined;
}

export interface DipResult {
  n: number;
  dip: number;
  p: number;
}

/**
 * Do ratings gather in one place, or in two? Hartigan's dip: how far the share of values up to each point lies, at most,
 * from the nearest distribution with a single peak.
 *
 * Use it before a mean is read: of a panel half of which loves what the other half hates, the mean is where nobody is.
 * The null law is the uniform one, the flattest with one peak, so that a panel that gathers anywhere is called
 * two-peaked far more seldom than p says. Assumes values from a continuum: ties look like peaks and have to be spread
 * over the width of their step first.
 *
 * @param input.values at least four numbers
 * @param input.seed of the samples, by default 1
 * @param input.samples uniform samples that p is told by, 100 to 100,000, by default 2,000
 * @returns n; dip, from 1/(2n) to 1/4; p: (samples with a dip at least as
 *   large + 1) / (samples + 1)
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, no-variation (all values alike)
 *
 * Accuracy: dip 1e-12; p as exact as so many samples allow.
 * Source: Hartigan & Hartigan (1985), Annals of Statistics 13:70–84; steps of Hartigan (1985), Applied Statistics
 * 34:320–325 (AS 217), from memory.
 *
 * @example
 * dip({ values: [1, 1.2, 1.4, 1.6, 8, 8.2, 8.4, 8.6] })
 * // { n: 8, dip: 0.228571428571429 }
 */
export function dip(input: DipInput): DipResult {
  options(input, ['values', 'seed', 'samples']);
  const sorted = [...figures(input.values, 'values', 4)].sort((a, b) => a - b);
  const seed = seedOf(input.seed ?? 1);
  const samples = whole(input.samples ?? 2_000, 'samples', { min: 100, max: 100_000 });
  const n = sorted.length;
  if (sorted[0] === sorted[n - 1]) {
    throw new StatsError('no-variation', 'values', 'are all alike', 'values that differ', sorted[0]);
  }
  const found = dipOf(sorted);
  const random = seededRandom(seed);
  let far = 0;
  for (let k = 0; k < samples; k++) if (dipOf(uniformSample(n, () => random.uniform())) >= found) far++;
  return { n, dip: found, p: (far + 1) / (samples + 1) };
}

/** So many values drawn evenly, sorted. */
export const uniformSample = (n: number, uniform: () => number): Float64Array =>
  Float64Array.from({ length: n }, uniform).sort();

/**
 * The dip of sorted values. The law with one peak is convex before it and concave after it: so from below the steps of
 * the sample hangs a convex chain, from above a concave one, and the stretch that holds the peak is narrowed until
 * nothing between the chains is farther apart than what lies outside of it.
 */
export function dipOf(sorted: ArrayLike<number>): number {
  let [low, high, most] = [0, sorted.length - 1, 1];
  for (;;) {
    const below = chain(sorted, low, high, 1);
    const above = chain(sorted, low, high, -1);
    const { apart, from, to } = widest(sorted, below, above);
    if (apart <= most) break;
    // Outside of the new stretch the law is told: how far it lies from the steps counts.
    most = Math.max(most, outside(sorted, below, low, from, 1), outside(sorted, above, to, high, -1));
    if (from === low && to === high) break;
    [low, high] = [from, to];
  }
  return most / (2 * sorted.length);
}

/** Places of the corners of the convex chain under the steps (turn 1), or the concave one over them (turn −1). */
function chain(sorted: ArrayLike<number>, low: number, high: number, turn: 1 | -1): number[] {
  const corners: number[] = [];
  for (let i = low; i <= high; i++) {
    while (corners.length > 1) {
      const [a, b] = [corners.at(-2) as number, corners.at(-1) as number];
      const bends = (b - a) * width(sorted, b, i) - (i - b) * width(sorted, a, b);
      if (turn * bends < 0) break;
      corners.pop();
    }
    corners.push(i);
  }
  return corners;
}

const width = (sorted: ArrayLike<number>, a: number, b: number): number =>
  (sorted[b] as number) - (sorted[a] as number);

/** How high a chain is over a place between two of its corners. */
function heightOf(sorted: ArrayLike<number>, a: number, b: number, i: number): number {
  const all = width(sorted, a, b);
  return all === 0 ? (b === i ? b : a) : a + ((b - a) * width(sorted, a, i)) / all;
}

/** Where both chains lie farthest apart, counted in values, and the stretch that is left of it. */
function widest(sorted: ArrayLike<number>, below: readonly number[], above: readonly number[]) {
  let best = { apart: 0, from: below[0] as number, to: below.at(-1) as number };
  const look = (corner: number, chain: readonly number[], onBelow: boolean) => {
    const next = chain.findIndex((other) => other >= corner);
    const [a, b] = [chain[Math.max(0, next - 1)] as number, chain[next] as number];
    const other = heightOf(sorted, a, b, corner);
    const apart = 1 + (onBelow ? other - corner : corner - other);
    if (apart > best.apart) best = onBelow ? { apart, from: corner, to: b } : { apart, from: a, to: corner };
  };
  for (const corner of below) look(corner, above, true);
  for (const corner of above) look(corner, below, false);
  return best;
}

/** How far, at most, the steps lie from the chain between two of its corners. */
function outside(
  sorted: ArrayLike<number>,
  corners: readonly number[],
  low: number,
  high: number,
  turn: 1 | -1,
): number {
  let most = 0;
  for (let k = 1; k < corners.length; k++) {
    const [a, b] = [corners[k - 1] as number, corners[k] as number];
    if (a < low || b > high) continue;
    for (let i = a; i <= b; i++) most = Math.max(most, 1 + turn * (i - heightOf(sorted, a, b, i)));
  }
  return most;
}
