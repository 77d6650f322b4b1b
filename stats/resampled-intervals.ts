import { normalCdf, normalQuantile } from './distributions';
import { StatsError } from './errors';
import type { PanelStatistic } from './listener-bootstrap';
import { seededRandom } from './seeded-random';

export interface ResamplingOptions {
  level: number;
  resamples: number;
  seed: number | string;
  method: 'percentile' | 'bca';
}

/** Of all panels drawn, those that may say nothing on the statistic: one in so many. */
const mostSilent = 10;

/**
 * Draws panels of the same size from the listeners, with replacement; for `listenerBootstrap`, which says more. A panel
 * that says nothing on the statistic is drawn again; `separated` is counted over those kept.
 *
 * @throws StatsError not-enough-data where more than one in ten says nothing
 */
export function resampledIntervals(
  statistic: PanelStatistic,
  listeners: number,
  { level, resamples, seed, method }: ResamplingOptions,
) {
  const random = seededRandom(seed);
  const size = statistic.names.length;
  const estimate = new Float64Array(size);
  statistic.write(estimate, new Uint32Array(listeners).fill(1));
  const drawn = statistic.names.map(() => new Float64Array(resamples));
  const times = new Uint32Array(listeners);
  const own = new Float64Array(size);
  const before = statistic.separated();
  let redrawn = 0;
  for (let r = 0; r < resamples; r++) {
    for (;;) {
      times.fill(0);
      for (let k = 0; k < listeners; k++) {
        const i = random.below(listeners);
        times[i] = (times[i] as number) + 1;
      }
      if (statistic.write(own, times)) break;
      redrawn++;
      if (redrawn * (mostSilent - 1) > resamples) throw tooFew();
    }
    for (let k = 0; k < size; k++) (drawn[k] as Float64Array)[r] = own[k] as number;
  }
  const separated = statistic.separated() - before;
  const leftOut = method === 'bca' ? leaveOneOut(statistic, listeners) : [];
  const estimates = statistic.names.map((name, k) => {
    const values = (drawn[k] as Float64Array).sort();
    const whole = estimate[k] as number;
    const leftOutValues = leftOut.map((values) => values[k] as number);
    const [low, high] = method === 'bca' ? bcaShares(values, whole, leftOutValues, level) : tails(level);
    return {
      name,
      estimate: whole,
      lower: quantile(values, low),
      upper: quantile(values, high),
      standardError: standardDeviation(values),
    };
  });
  return { estimates, separated, redrawn };
}

function leaveOneOut(statistic: PanelStatistic, listeners: number): Float64Array[] {
  return Array.from({ length: listeners }, (_, i) => {
    const times = new Uint32Array(listeners).fill(1);
    times[i] = 0;
    const values = new Float64Array(statistic.names.length);
    // Over a quarter of all panels lack one given listener: whoever can't be spared has mostly been noticed by now.
    if (!statistic.write(values, times)) throw tooFew();
    return values;
  });
}

const tooFew = () =>
  new StatsError(
    'not-enough-data',
    'listeners',
    'too many panels drawn anew don’t join all items, or leave order and worth as one',
    'more listeners, or listeners who each compared all items, in both orders with orderEffect',
    `more than one in ${mostSilent}`,
  );

const tails = (level: number): [number, number] => [(1 - level) / 2, (1 + level) / 2];

/**
 * The shares at which bca reads its limits (Efron 1987, formulas 2.3 and 6.6). Resamples equal to the estimate count half
 * on each side, and the share below it is kept off 0 and 1 by half a resample.
 */
function bcaShares(sorted: Float64Array, estimate: number, leftOut: number[], level: number): [number, number] {
  const slack = 1e-9 * Math.max(1, Math.abs(estimate));
  let below = 0;
  for (const value of sorted) below += value < estimate - slack ? 1 : value <= estimate + slack ? 0.5 : 0;
  const n = sorted.length;
  const bias = normalQuantile(Math.min(1 - 0.5 / n, Math.max(0.5 / n, below / n)));
  const mean = leftOut.reduce((sum, value) => sum + value, 0) / leftOut.length;
  const squares = leftOut.reduce((sum, value) => sum + (mean - value) ** 2, 0);
  const cubes = leftOut.reduce((sum, value) => sum + (mean - value) ** 3, 0);
  const acceleration = squares === 0 ? 0 : cubes / (6 * squares ** 1.5);
  const [low, high] = tails(level).map((tail) => {
    const z = bias + normalQuantile(tail);
    const stretch = 1 - acceleration * z;
    return stretch > 0 ? normalCdf(bias + z / stretch) : z > 0 ? 1 : 0;
  });
  return [low as number, high as number];
}

/** The value at (n + 1)·share of the sorted values, between two of them in a straight line. */
function quantile(sorted: Float64Array, share: number): number {
  const at = Math.min(sorted.length, Math.max(1, (sorted.length + 1) * share));
  const low = sorted[Math.floor(at) - 1] as number;
  const high = sorted[Math.ceil(at) - 1] as number;
  return low + (at - Math.floor(at)) * (high - low);
}

function standardDeviation(values: Float64Array): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}
