import { cholesky, solveCholesky } from '../cholesky';
import { StatsError } from '../errors';
import type { CrossProducts } from './cross-products';
import type { FixedDesign } from './fixed-design';
import { columnFor, type FixedTerm } from './fixed-terms';
import type { Factor } from './model-table';

/**
 * What each term says, whatever the coding: the differences of its effects from those of its first level, averaged over the
 * levels of all other factors with equal weights, and at 0 of those covariates that the term doesn't hold (type III).
 *
 * Effects that sum to zero over the levels of each factor do just that. They are found by expressing the columns as fitted
 * by such effects, on every combination of levels that occurs and on covariates of 0 and 1, which is exact since each
 * column is a product.
 *
 * Source: Searle (1987), Linear Models for Unbalanced Data, sections 4.9 and 12.1 (hypotheses of equally weighted means).
 */
export class TermContrasts {
  /**
   * Sum-to-zero effects = map · coefficients as fitted; row by row. The same map holds for coefficients as asked for, since
   * how covariates are counted leaves it alone.
   */
  private readonly map: Float64Array;
  private readonly n: number;

  constructor(
    private readonly design: FixedDesign,
    private readonly data: CrossProducts,
  ) {
    this.n = design.names.length;
    this.map = effectsFrom(design.terms, this.n);
  }

  /**
   * Rows of weights of the fitted coefficients, one a degree of freedom: that all are 0 is the term's hypothesis. F is the
   * same for whichever rows say so; its second degrees of freedom hang on them a little. A term that stands alone is
   * taken apart into comparisons that are uncorrelated where rows are independent, column by column.
   */
  of(term: FixedTerm): Float64Array[] {
    const { terms, counted } = this.design;
    if (terms.length === 1) return uncorrelated(this.data, this.n);
    const wider = terms.filter((other) => sameFactors(other, term) && holds(other, term));
    return differences(term).map((row) => {
      const out = new Float64Array(this.n);
      for (const other of wider) {
        const added = other.covariates.filter((covariate) => !term.covariates.includes(covariate));
        const at = added.reduce((product, { name }) => product * (counted.get(name)?.atZero as number), 1);
        if (at !== 0) this.add(out, other, inOrderOf(other, term, row), at);
      }
      return out;
    });
  }

  /**
   * Weights for the mean of each level of a factor, less what is the same for all: over equal weights of all else, covariates
   * at their mean.
   */
  levels(factor: Factor): Float64Array[] {
    const { terms, counted } = this.design;
    return factor.levels.map((_, level) => {
      const out = new Float64Array(this.n);
      for (const term of terms) {
        if (term.factors.length !== 1 || term.factors[0] !== factor) continue;
        const at = term.covariates.reduce((product, { name }) => product * (counted.get(name)?.atMean as number), 1);
        if (at !== 0) this.add(out, term, effectOf(term, level), at);
      }
      return out;
    });
  }

  /** Adds so many times a row of weights of a term's sum-to-zero effects, as weights of the fitted coefficients. */
  private add(out: Float64Array, term: FixedTerm, row: Float64Array, times: number): void {
    const { n, map } = this;
    row.forEach((weight, k) => {
      if (weight === 0) return;
      const from = (term.from + k) * n;
      for (let j = 0; j < n; j++) out[j] = (out[j] as number) + times * weight * (map[from + j] as number);
    });
    for (let j = 0; j < n; j++) if (Math.abs(out[j] as number) < nothing) out[j] = 0;
  }
}

/** Weights of one mean less those of another; what both have is 0. */
export const lessWeights = (a: Float64Array, b: Float64Array): Float64Array =>
  a.map((weight, k) => {
    const difference = weight - (b[k] as number);
    return Math.abs(difference) < nothing ? 0 : difference;
  });

/** What is left of a weight of 0 when it is worked out. */
const nothing = 1e-11;

const sameFactors = (a: FixedTerm, b: FixedTerm): boolean =>
  a.factors.length === b.factors.length && a.factors.every((factor) => b.factors.includes(factor));

const holds = (wide: FixedTerm, narrow: FixedTerm): boolean =>
  narrow.covariates.every((covariate) => wide.covariates.includes(covariate));

/** Weights of one term's effects as those of another of the same factors, which may stand in another order there. */
function inOrderOf(to: FixedTerm, from: FixedTerm, row: Float64Array): Float64Array {
  const out = new Float64Array(to.columns);
  row.forEach((weight, k) => {
    let rest = k;
    const place = new Map<Factor, number>();
    from.factors.forEach((factor, f) => {
      const width = widthOf(from, f);
      place.set(factor, rest % width);
      rest = Math.floor(rest / width);
    });
    let column = 0;
    let stride = 1;
    to.factors.forEach((factor, f) => {
      column += (place.get(factor) as number) * stride;
      stride *= widthOf(to, f);
    });
    out[column] = weight;
  });
  return out;
}

const widthOf = ({ factors, byContrast }: FixedTerm, f: number): number =>
  (factors[f] as Factor).levels.length - (byContrast[f] ? 1 : 0);

/** Rows of Cᵀ but the intercept's, where XᵀX = CDCᵀ with ones on C's diagonal and D diagonal. */
function uncorrelated({ fixed, width }: CrossProducts, n: number): Float64Array[] {
  const c = new Float64Array(n * n);
  const d = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    for (let i = j; i < n; i++) {
      let sum = fixed[i * width + j] as number;
      for (let k = 0; k < j; k++) sum -= (c[i * n + k] as number) * (c[j * n + k] as number) * (d[k] as number);
      if (i === j) d[j] = sum;
      c[i * n + j] = i === j ? 1 : sum / (d[j] as number);
    }
  }
  return Array.from({ length: n - 1 }, (_, row) =>
    Float64Array.from({ length: n }, (__, column) => (column <= row ? 0 : (c[column * n + row + 1] as number))),
  );
}

/** A level's effect by the sum-to-zero effects of a term of one factor: the last level's is less the sum of the others. */
function effectOf({ factors, byContrast, columns }: FixedTerm, level: number): Float64Array {
  const last = (factors[0] as Factor).levels.length - 1;
  return Float64Array.from({ length: columns }, (_, k) => (k === level ? 1 : byContrast[0] && level === last ? -1 : 0));
}

/** For every factor the effects of the other levels less that of the first; for several factors their products. */
function differences(term: FixedTerm): Float64Array[] {
  let rows: number[][] = [[1]];
  term.factors.forEach(({ levels }, f) => {
    const own = term.byContrast[f] ? differencesFromFirst(levels.length) : unit(levels.length);
    rows = own.flatMap((outer) => rows.map((inner) => outer.flatMap((a) => inner.map((b) => a * b))));
  });
  return rows.map((row) => Float64Array.from(row));
}

const differencesFromFirst = (levels: number): number[][] =>
  Array.from({ length: levels - 1 }, (_, i) =>
    Array.from({ length: levels - 1 }, (__, k) => {
      const own = i === levels - 2 ? -1 : k === i + 1 ? 1 : 0;
      return own - (k === 0 ? 1 : 0);
    }),
  );

const unit = (levels: number): number[][] =>
  Array.from({ length: levels }, (_, i) => Array.from({ length: levels }, (__, k) => (i === k ? 1 : 0)));

/** Solves for the sum-to-zero effects that give the same values as the columns as asked for do. */
function effectsFrom(terms: readonly FixedTerm[], n: number): Float64Array {
  const squares = new Float64Array(n * n);
  const products = new Float64Array(n * n);
  for (const point of points(terms)) {
    const asked = new Float64Array(n);
    const summed = new Float64Array(n);
    asked[0] = 1;
    summed[0] = 1;
    for (const term of terms) {
      if (!term.covariates.every(({ name }) => point.covariates.has(name))) continue;
      const level = (factor: Factor) => point.levels.get(factor) as number;
      const column = columnFor(term, level);
      if (column >= 0) asked[term.from + column] = 1;
      for (const [k, entry] of summedEntries(term, level)) summed[term.from + k] = entry;
    }
    // Of a hundred listeners a point has one: most entries are 0.
    const [inSummed, inAsked] = [placesOf(summed), placesOf(asked)];
    for (const i of inSummed) {
      const left = summed[i] as number;
      for (const j of inSummed) squares[i * n + j] = (squares[i * n + j] as number) + left * (summed[j] as number);
      for (const j of inAsked) products[i * n + j] = (products[i * n + j] as number) + left * (asked[j] as number);
    }
  }
  if (!cholesky(squares, n)) {
    const wrong = 'leaves out terms that its interactions are made of';
    throw new StatsError('not-identified', 'fixed', wrong, 'the main effects of every interaction', terms.length);
  }
  const map = new Float64Array(n * n);
  const column = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) column[i] = products[i * n + j] as number;
    solveCholesky(squares, column, n);
    // Entries are 0 or far from it: what lies between is rounding, which a far-off covariate would magnify.
    for (let i = 0; i < n; i++) if (Math.abs(column[i] as number) >= nothing) map[i * n + j] = column[i] as number;
  }
  return map;
}

function placesOf(entries: Float64Array): number[] {
  const places: number[] = [];
  for (let i = 0; i < entries.length; i++) if (entries[i] !== 0) places.push(i);
  return places;
}

/** A term's entries at some levels that aren't 0, with their places; the first factor runs fastest. */
function summedEntries(
  term: FixedTerm,
  levelAt: (factor: Factor) => number,
): (readonly [place: number, entry: number])[] {
  let entries: (readonly [number, number])[] = [[0, 1]];
  let stride = 1;
  term.factors.forEach((factor, f) => {
    const level = levelAt(factor);
    const last = factor.levels.length - 1;
    const across = term.byContrast[f] && level === last;
    const own = across ? Array.from({ length: last }, (_, k) => [k, -1] as const) : [[level, 1] as const];
    entries = own.flatMap(([k, outer]) => entries.map(([at, inner]) => [k * stride + at, outer * inner] as const));
    stride *= widthOf(term, f);
  });
  return entries;
}

interface Point {
  levels: ReadonlyMap<Factor, number>;
  /** Those that are 1; the others are 0. */
  covariates: ReadonlySet<string>;
}

/** Every combination of levels that occurs, with the covariates of each term, and none, at 1. */
function points(terms: readonly FixedTerm[]): Point[] {
  const factors = [...new Set(terms.flatMap((term) => term.factors))];
  const rows = factors[0]?.levelOf.length ?? 1;
  const seen = new Map<string, ReadonlyMap<Factor, number>>();
  for (let i = 0; i < rows; i++) {
    const key = factors.map(({ levelOf }) => levelOf[i]).join();
    if (!seen.has(key)) seen.set(key, new Map(factors.map((factor) => [factor, factor.levelOf[i] as number])));
  }
  const sets = new Map<string, ReadonlySet<string>>([['[]', new Set()]]);
  for (const { covariates } of terms) {
    const names = covariates.map(({ name }) => name).sort();
    sets.set(JSON.stringify(names), new Set(names));
  }
  return [...seen.values()].flatMap((levels) => [...sets.values()].map((covariates) => ({ levels, covariates })));
}
