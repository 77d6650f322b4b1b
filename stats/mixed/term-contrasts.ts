import { StatsError } from '../errors';
import { factoriseDense } from './bordered-cholesky';
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
  /** Sum-to-zero effects = map · coefficients as asked for; row by row. */
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
    if (this.design.terms.length === 1) return uncorrelated(this.data, this.n);
    return differences(term).map((row) => this.fitted(term, row));
  }

  /** Weights for the mean of one level less that of another, over equal weights of all else and covariates at their mean. */
  between(factor: string, a: number, b: number): Float64Array {
    const out = new Float64Array(this.n);
    for (const term of this.design.terms) {
      if (term.factors.length !== 1 || term.factors[0]?.name !== factor) continue;
      const at = term.covariates.reduce((product, { name }) => product * (this.design.meanOf.get(name) as number), 1);
      const [first, second] = [effectOf(term, a), effectOf(term, b)];
      const row = first.map((weight, k) => at * (weight - (second[k] as number)));
      this.fitted(term, row).forEach((weight, k) => {
        out[k] = (out[k] as number) + weight;
      });
    }
    return out;
  }

  /** From weights of a term's sum-to-zero effects to weights of the coefficients as fitted. */
  private fitted(term: FixedTerm, row: Float64Array): Float64Array {
    const { n, map } = this;
    const { back } = this.design;
    const asked = new Float64Array(n);
    row.forEach((weight, k) => {
      for (let j = 0; j < n; j++) {
        asked[j] = (asked[j] as number) + weight * (map[(term.from + k) * n + j] as number);
      }
    });
    return Float64Array.from({ length: n }, (_, column) => {
      let sum = 0;
      for (let j = 0; j < n; j++) sum += (asked[j] as number) * (back[j * n + column] as number);
      return sum;
    });
  }
}

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
      summedEntries(term, level).forEach((entry, k) => {
        summed[term.from + k] = entry;
      });
    }
    for (let i = 0; i < n; i++) {
      const left = summed[i] as number;
      if (left === 0) continue;
      for (let j = 0; j < n; j++) {
        squares[i * n + j] = (squares[i * n + j] as number) + left * (summed[j] as number);
        products[i * n + j] = (products[i * n + j] as number) + left * (asked[j] as number);
      }
    }
  }
  if (!factoriseDense(squares, n)) {
    const wrong = 'leaves out terms that its interactions are made of';
    throw new StatsError('not-identified', 'fixed', wrong, 'the main effects of every interaction', terms.length);
  }
  return solved(squares, products, n);
}

function summedEntries(term: FixedTerm, levelAt: (factor: Factor) => number): number[] {
  let entries = [1];
  term.factors.forEach((factor, f) => {
    const level = levelAt(factor);
    const last = factor.levels.length - 1;
    const width = term.byContrast[f] ? last : last + 1;
    const own = Array.from({ length: width }, (_, k) =>
      k === level ? 1 : term.byContrast[f] && level === last ? -1 : 0,
    );
    entries = own.flatMap((outer) => entries.map((inner) => outer * inner));
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

/** X of LLᵀX = B, L as `factoriseDense` leaves it. */
function solved(factor: Float64Array, right: Float64Array, n: number): Float64Array {
  const out = right.slice();
  for (let column = 0; column < n; column++) {
    for (let i = 0; i < n; i++) {
      let sum = out[i * n + column] as number;
      for (let k = 0; k < i; k++) sum -= (factor[i * n + k] as number) * (out[k * n + column] as number);
      out[i * n + column] = sum / (factor[i * n + i] as number);
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = out[i * n + column] as number;
      for (let k = i + 1; k < n; k++) sum -= (factor[k * n + i] as number) * (out[k * n + column] as number);
      out[i * n + column] = sum / (factor[i * n + i] as number);
    }
  }
  return out;
}
