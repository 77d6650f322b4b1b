import { flag, matrix, options } from './check';
import { StatsError } from './errors';
import { centred, largest, onlyRounding, sumOfSquares } from './moments';
import { oneSidedJacobi } from './one-sided-jacobi';
import { leadingEntry } from './symmetric-eigen';

export interface PrincipalComponentsInput {
  rows: readonly (readonly number[])[];
  scale?: boolean | undefined;
}

export interface PrincipalComponentsResult {
  loadings: number[][];
  scores: number[][];
  variance: number[];
  share: number[];
}

/** The time grows with the square of it. */
const mostAttributes = 200;

/**
 * The few directions in which samples differ when many attributes were rated: each component is a weighted sum of the
 * attributes, the first the one that varies most, each next the one that varies most at right angles to those before.
 *
 * Use it on the mean rating of each sample on each attribute, to draw a map of samples and attributes. It describes and
 * tests nothing. With `scale` every attribute counts alike, whatever the spread of its ratings; without, attributes that
 * spread more count more, which makes sense only where all share one scale.
 *
 * @param input.rows one row a sample, one column an attribute; at least 2 rows, 1 to 200 columns, no gaps; there may be more
 *   columns than rows
 * @param input.scale whether each attribute is divided by its standard deviation (n − 1), by default true
 * @returns min(rows − 1, attributes) components in order of variance. loadings: one row an attribute, one column a
 *   component, columns of length 1 at right angles; scores: one row a sample, one column a component; variance (n − 1) of
 *   each component's scores; share of the total variance. The sign of a component is chosen so that its largest loading in
 *   size is positive, the first of them where several are alike. Attributes that depend on each other (sums, copies) leave
 *   components whose variance and scores are exactly 0; their loadings only complete the set of right angles. Components
 *   of equal variance are any that span the same plane
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data (fewer than 2 rows), inconsistent
 *   (rows of unequal length), no-variation (with scale: an attribute that is the same in all rows, by its column number from
 *   1; without: all of them)
 *
 * Accuracy: 1e-12 of each variance, of small ones as well; loadings 1e-12 over the relative distance to the next variance.
 * Source: Pearson (1901), Philosophical Magazine 2:559–572; Hotelling (1933), Journal of Educational Psychology 24:417–441.
 * Formulas from memory.
 *
 * @example
 * principalComponents({ rows: [[1, 2], [3, 6], [5, 4]] }).share
 * // [0.75, 0.25]
 */
export function principalComponents(input: PrincipalComponentsInput): PrincipalComponentsResult {
  options(input, ['rows', 'scale']);
  const rows = matrix(input.rows, 'rows', { rows: 2, columns: 1 });
  const scale = flag(input.scale ?? true, 'scale');
  const attributes = rows[0]?.length ?? 0;
  if (attributes > mostAttributes) {
    const allowed = `1 to ${mostAttributes} columns`;
    throw new StatsError('out-of-range', 'rows', 'has too many columns', allowed, `${attributes} columns`);
  }
  const columns = Array.from({ length: attributes }, (_, j) =>
    prepared(
      rows.map((row) => row[j] as number),
      scale,
      j + 1,
    ),
  );
  const found = directions(columns, rows.length);
  if (found.length === 0) {
    throw new StatsError('no-variation', 'rows', 'are all the same', 'rows that differ', `${rows.length} equal rows`);
  }
  const count = Math.min(rows.length - 1, attributes);
  const loadings = completed(
    found.slice(0, count).map(({ loadings }) => loadings),
    count,
    attributes,
  );
  const variance = loadings.map((_, k) => (found[k]?.squares ?? 0) / (rows.length - 1));
  const total = variance.reduce((sum, one) => sum + one, 0);
  return {
    loadings: Array.from({ length: attributes }, (_, j) => loadings.map((loading) => loading[j] as number)),
    scores: rows.map((_, i) => loadings.map((loading, k) => (k < found.length ? scoreOf(columns, loading, i) : 0))),
    variance,
    share: variance.map((one) => one / total),
  };
}

interface Attribute {
  /** Around the mean, over the standard deviation where that is asked for. */
  values: number[];
  /** The largest figure before the mean was taken off, in the same units: rounding is measured by it. */
  largest: number;
}

/** One attribute, `column` its number from 1. */
function prepared(figures: readonly number[], scale: boolean, column: number): Attribute {
  const magnitude = largest(figures);
  const deviations = centred(figures);
  const unit = largest(deviations);
  const squares = unit === 0 ? 0 : sumOfSquares(deviations.map((value) => value / unit));
  const still = unit === 0 || onlyRounding(squares, figures.length, magnitude / unit);
  if (still && scale) {
    const allowed = 'columns that vary, or scale false';
    throw new StatsError('no-variation', 'rows', `are all the same in column ${column}`, allowed, figures[0]);
  }
  if (still) return { values: figures.map(() => 0), largest: 0 };
  const by = scale ? unit * Math.sqrt(squares / (figures.length - 1)) : 1;
  return { values: deviations.map((value) => value / by), largest: magnitude / by };
}

interface Direction {
  loadings: Float64Array;
  /** Sum of squares of the scores. */
  squares: number;
}

/** The directions in which rows vary by more than rounding, the widest first. */
function directions(columns: readonly Attribute[], rows: number): Direction[] {
  const found = rows > columns.length ? ofTall(columns, rows) : ofWide(columns, rows);
  return found
    .filter(({ loadings, squares }) => {
      const reach = columns.reduce((sum, { largest }, j) => sum + Math.abs(loadings[j] as number) * largest, 0);
      return !onlyRounding(squares, rows, reach);
    })
    .sort((a, b) => b.squares - a.squares);
}

/** More rows than attributes: A = QR, and the right singular vectors of R are those of A. */
function ofTall(columns: readonly Attribute[], rows: number): Direction[] {
  const n = columns.length;
  const triangle = triangular(columns, rows);
  const loadings = new Float64Array(n * n);
  for (let j = 0; j < n; j++) loadings[j * n + j] = 1;
  oneSidedJacobi(triangle, n, loadings, n);
  return columns.map((_, k) => ({
    loadings: loadings.slice(k * n, (k + 1) * n),
    squares: sumOfSquares([...triangle.subarray(k * n, (k + 1) * n)]),
  }));
}

/** R of A = QR, column by column, by the modified Gram–Schmidt process: Björck (1967), BIT 7:1–21. */
function triangular(columns: readonly Attribute[], rows: number): Float64Array {
  const n = columns.length;
  const rest = columns.map(({ values }) => Float64Array.from(values));
  const triangle = new Float64Array(n * n);
  for (const [k, column] of rest.entries()) {
    const length = Math.sqrt(dot(column, column));
    triangle[k * n + k] = length;
    if (length === 0) continue;
    for (let i = 0; i < rows; i++) column[i] = (column[i] as number) / length;
    for (let j = k + 1; j < n; j++) {
      const later = rest[j] as Float64Array;
      const along = dot(column, later);
      triangle[j * n + k] = along;
      for (let i = 0; i < rows; i++) later[i] = (later[i] as number) - along * (column[i] as number);
    }
  }
  return triangle;
}

/** No more rows than attributes: rows turned to right angles are the loadings, each times its singular value. */
function ofWide(columns: readonly Attribute[], rows: number): Direction[] {
  const n = columns.length;
  const turned = new Float64Array(rows * n);
  for (const [j, { values }] of columns.entries()) {
    for (let i = 0; i < rows; i++) turned[i * n + j] = values[i] as number;
  }
  oneSidedJacobi(turned, n);
  return Array.from({ length: rows }, (_, k) => {
    const row = turned.subarray(k * n, (k + 1) * n);
    const squares = sumOfSquares([...row]);
    const length = Math.sqrt(squares);
    return { loadings: row.map((value) => (length === 0 ? 0 : value / length)), squares };
  });
}

/**
 * So many loadings at right angles, with signs: those found, then what is left of the axes, each time the axis of which
 * most is left.
 */
function completed(found: readonly Float64Array[], count: number, attributes: number): Float64Array[] {
  const all = found.map(signed);
  while (all.length < count) {
    let best = new Float64Array(attributes);
    let most = 0;
    for (let axis = 0; axis < attributes; axis++) {
      const left = new Float64Array(attributes);
      left[axis] = 1;
      // Twice, since the first round leaves rounding of the axis in what may be short.
      for (const loading of [...all, ...all]) {
        const along = dot(loading, left);
        for (let j = 0; j < attributes; j++) left[j] = (left[j] as number) - along * (loading[j] as number);
      }
      const length = dot(left, left);
      if (length > most * (1 + 1e-9)) [best, most] = [left, length];
    }
    const length = Math.sqrt(most);
    all.push(signed(best.map((value) => value / length)));
  }
  return all;
}

/** The leading loading positive; no zero keeps a sign. */
function signed(loadings: Float64Array): Float64Array {
  const sign = (loadings[leadingEntry(loadings)] as number) < 0 ? -1 : 1;
  return loadings.map((value) => sign * value + 0);
}

const dot = (a: Float64Array, b: Float64Array): number => {
  let total = 0;
  for (let i = 0; i < a.length; i++) total += (a[i] as number) * (b[i] as number);
  return total;
};

const scoreOf = (columns: readonly Attribute[], loadings: Float64Array, row: number): number =>
  columns.reduce((sum, { values }, j) => sum + (values[row] as number) * (loadings[j] as number), 0);
