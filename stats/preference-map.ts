import { matrix, options, seedOf, whole } from './check';
import { StatsError } from './errors';
import { everyOrder } from './every-order';
import { centred, mean } from './moments';
import { seededRandom } from './seeded-random';
import { shuffled } from './shuffled';

export interface PreferenceMapInput {
  places: readonly (readonly number[])[];
  liking: readonly (readonly number[])[];
  permutations?: number | undefined;
  seed?: number | string | undefined;
}

export interface PreferenceMapListener {
  intercept: number;
  slopes: number[];
  rSquared: number | null;
}

export interface PreferenceMapResult {
  listeners: PreferenceMapListener[];
  meanRSquared: number;
  expected: number;
  p: number;
  exact: boolean;
}

const mostDimensions = 10;
const mostSamples = 100;
/** Up to so many samples every order is gone through: 7! = 5040. */
const mostEnumerated = 7;

/**
 * In which direction of a map of samples does each listener's liking grow? The vector model of a preference map: liking
 * regressed on the places of the samples, listener by listener.
 *
 * Use it on the first two principal components of what samples are like, made of ratings other than liking. A listener's
 * slopes are an arrow on the map. With few samples an arrow nearly always fits: of two dimensions and five samples, half of
 * the variance is explained where liking has nothing to do with the map, so read `meanRSquared` beside `expected`, and p.
 * The null is that liking goes with the samples in any order: places are dealt out to them anew, to all listeners the same
 * way, so that listeners may like alike. Assumes that liking grows in one direction without end; a best point in the middle
 * of the map it does not see.
 *
 * @param input.places one row a sample, one column a dimension (1 to 10); at least two samples more than dimensions, at
 *   most 100
 * @param input.liking one row a listener, one column a sample, no gaps
 * @param input.permutations random deals where there are more than 7 samples, 100 to 100,000, by default 5,000; up to 7
 *   samples all orders are gone through
 * @param input.seed of these deals, by default 1
 * @returns listeners: intercept, slopes (liking per unit of place) and R², null for who likes all alike; meanRSquared over
 *   the others; expected: its mean over all deals, dimensions/(samples − 1); p: share of deals with a mean R² at least as
 *   large, upper tail, by random deals (as many + 1)/(deals + 1); exact: whether all orders were gone through
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent (rows of unequal
 *   length), no-variation (a dimension that is a sum of others, or the same for all samples; everybody likes all alike)
 *
 * Accuracy: 1e-9 relative of slopes, times how nearly dimensions depend on each other; R² 1e-10.
 * Source: the vector model of Carroll (1972), in Multidimensional Scaling I, 105–155, and Greenhoff & MacFie (1994), in
 * Measurement of Food Preferences, 137–166, from memory; the permutation test is Fisher's (1935).
 *
 * @example
 * preferenceMap({ places: [[0, 0], [1, 0], [0, 1], [1, 1]], liking: [[1, 3, 2, 4]] })
 * // { meanRSquared: 1, expected: 0.666666666666667, p: 0.333333333333333, exact: true }
 */
export function preferenceMap(input: PreferenceMapInput): PreferenceMapResult {
  options(input, ['places', 'liking', 'permutations', 'seed']);
  const places = matrix(input.places, 'places', { rows: 3, columns: 1 });
  const liking = matrix(input.liking, 'liking', { rows: 1, columns: 3 });
  const permutations = whole(input.permutations ?? 5_000, 'permutations', { min: 100, max: 100_000 });
  const seed = seedOf(input.seed ?? 1);
  const [samples, dimensions] = [places.length, places[0]?.length ?? 0];
  checkSize(samples, dimensions, liking[0]?.length ?? 0);
  const columns = Array.from({ length: dimensions }, (_, k) => places.map((row) => row[k] as number));
  const basis = orthonormal(columns);
  const means = columns.map(mean);
  const listeners: PreferenceMapListener[] = [];
  // Mean over listeners of their likings’ outer products, each of length 1: what every deal is told by.
  const alike = new Float64Array(samples * samples);
  let varying = 0;
  for (const row of liking) {
    const deviations = centred(row);
    const length = Math.sqrt(dot(deviations, deviations));
    const slopes = slopesOf(basis, deviations);
    const intercept = mean(row) - slopes.reduce((sum, slope, k) => sum + slope * (means[k] as number), 0);
    if (length <= 1e-12 * Math.max(...row.map(Math.abs))) {
      listeners.push({ intercept: mean(row), slopes: slopes.map(() => 0), rSquared: null });
      continue;
    }
    varying++;
    const unit = deviations.map((value) => value / length);
    for (let i = 0; i < samples; i++) {
      for (let j = 0; j < samples; j++) {
        alike[i * samples + j] = (alike[i * samples + j] as number) + (unit[i] as number) * (unit[j] as number);
      }
    }
    const rSquared = Math.min(
      1,
      basis.reduce((sum, { axis }) => sum + dot(axis, unit) ** 2, 0),
    );
    listeners.push({ intercept, slopes, rSquared });
  }
  if (varying === 0) {
    throw new StatsError('no-variation', 'liking', 'is the same everywhere', 'likings that differ', liking[0]?.[0]);
  }
  const explained = (order: readonly number[]): number =>
    basis.reduce((sum, { axis }) => sum + quadratic(alike, axis, order), 0) / varying;
  const seen = explained(places.map((_, i) => i));
  const exact = samples <= mostEnumerated;
  let [far, deals] = exact ? [0, 0] : [1, 1];
  const look = (order: readonly number[]) => {
    deals++;
    // Rounding must not decide a tie.
    if (explained(order) >= seen - 1e-11) far++;
  };
  if (exact) everyOrder(samples, look);
  else {
    const random = seededRandom(seed);
    const inOrder = places.map((_, i) => i);
    for (let i = 0; i < permutations; i++) look(shuffled(inOrder, random));
  }
  return { listeners, meanRSquared: Math.min(1, seen), expected: dimensions / (samples - 1), p: far / deals, exact };
}

function checkSize(samples: number, dimensions: number, liked: number): void {
  if (dimensions > mostDimensions) {
    const allowed = `1 to ${mostDimensions} columns`;
    throw new StatsError('out-of-range', 'places', 'has too many columns', allowed, `${dimensions} columns`);
  }
  if (samples > mostSamples) {
    throw new StatsError(
      'out-of-range',
      'places',
      'has too many rows',
      `at most ${mostSamples} rows`,
      `${samples} rows`,
    );
  }
  if (samples < dimensions + 2) {
    const allowed = `two rows more than columns: ${dimensions + 2}`;
    throw new StatsError('not-enough-data', 'places', 'has too few rows', allowed, `${samples} rows`);
  }
  if (liked !== samples) {
    const allowed = `a column for each of the ${samples} rows of places`;
    throw new StatsError('inconsistent', 'liking', 'has another number of columns', allowed, `${liked} columns`);
  }
}

/** One axis at right angles to those before, of length 1, and how the column that it was made of lies on all of them. */
interface Axis {
  axis: number[];
  along: number[];
}

/** Gram–Schmidt, twice over, so that what is left stands at right angles to the last digit (Björck 1967, BIT 7:1–21). */
function orthonormal(columns: readonly (readonly number[])[]): Axis[] {
  const axes: Axis[] = [];
  for (const [k, column] of columns.entries()) {
    const rest = centred(column);
    const whole = Math.sqrt(dot(column, column));
    const along = axes.map(() => 0);
    for (let round = 0; round < 2; round++) {
      for (const [j, { axis }] of axes.entries()) {
        const share = dot(axis, rest);
        along[j] = (along[j] as number) + share;
        for (let i = 0; i < rest.length; i++) rest[i] = (rest[i] as number) - share * (axis[i] as number);
      }
    }
    const length = Math.sqrt(dot(rest, rest));
    if (length <= 1e-11 * whole || length === 0) {
      const allowed = 'columns that vary, none a sum of others';
      throw new StatsError('no-variation', 'places', `says nothing of its own in column ${k + 1}`, allowed, column[0]);
    }
    axes.push({ axis: rest.map((value) => value / length), along: [...along, length] });
  }
  return axes;
}

/** Slopes on the columns, from those on the axes, the last first. */
function slopesOf(axes: readonly Axis[], liking: readonly number[]): number[] {
  const slopes = axes.map(({ axis }) => dot(axis, liking));
  for (let k = axes.length - 1; k >= 0; k--) {
    const { along } = axes[k] as Axis;
    slopes[k] = (slopes[k] as number) / (along[k] as number);
    for (let j = 0; j < k; j++) slopes[j] = (slopes[j] as number) - (slopes[k] as number) * (along[j] as number);
  }
  return slopes;
}

/** qᵀMq with the places of q dealt out in that order. */
function quadratic(square: Float64Array, axis: readonly number[], order: readonly number[]): number {
  const n = axis.length;
  let total = 0;
  for (let i = 0; i < n; i++) {
    let row = 0;
    for (let j = 0; j < n; j++) row += (square[i * n + j] as number) * (axis[order[j] as number] as number);
    total += (axis[order[i] as number] as number) * row;
  }
  return total;
}

const dot = (a: readonly number[], b: readonly number[]): number => {
  let total = 0;
  for (let i = 0; i < a.length; i++) total += (a[i] as number) * (b[i] as number);
  return total;
};
