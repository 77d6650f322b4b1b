import { columnFor, columnNames, type FixedTerm, isHierarchical, levelsOf } from './fixed-terms';
import type { Covariate } from './model-table';

/**
 * The fixed part of the model as the fit uses it: an intercept and, for every term, at most one entry a row.
 *
 * Covariates are scaled to a standard deviation of one and, where the model stays the same by it, counted from their mean,
 * so that a frequency in hertz or a year loses no digits. `back` undoes that.
 */
export interface FixedDesign {
  terms: readonly FixedTerm[];
  /** Of the columns, the intercept first. */
  names: string[];
  /** For each term the column of each row, −1 for none. */
  columnOf: Int32Array[];
  /** For each term the entry of each row; null where all are 1. */
  entryOf: (Float64Array | null)[];
  /** Coefficients as asked for = back · coefficients as fitted; row by row. */
  back: Float64Array;
  /** Logarithm of the determinant that takes fitted coefficients to those asked for, with the sign of a likelihood. */
  logScale: number;
  /** Each covariate as the fit counts it, at its mean and at zero. */
  counted: ReadonlyMap<string, { atMean: number; atZero: number }>;
}

interface Scaling {
  centre: number;
  scale: number;
}

export function fixedDesign(terms: readonly FixedTerm[], rows: number): FixedDesign {
  const scaling = new Map<string, Scaling>();
  const counted = new Map<string, { atMean: number; atZero: number }>();
  for (const { covariates } of terms) {
    for (const covariate of covariates) {
      const { mean, deviation } = spread(covariate.values);
      const free = terms.every((term) => !term.covariates.includes(covariate) || isHierarchical(term, terms));
      const scale = free ? deviation : Math.hypot(mean, deviation);
      const centre = free ? mean : 0;
      scaling.set(covariate.name, { centre, scale });
      counted.set(covariate.name, { atMean: (mean - centre) / scale, atZero: -centre / scale });
    }
  }
  const columnOf = terms.map((term) =>
    Int32Array.from({ length: rows }, (_, i) => {
      const column = columnFor(term, ({ levelOf }) => levelOf[i] as number);
      return column < 0 ? -1 : term.from + column;
    }),
  );
  const entryOf = terms.map((term) => (term.covariates.length === 0 ? null : products(term.covariates, scaling, rows)));
  return {
    terms,
    names: ['(Intercept)', ...terms.flatMap(columnNames)],
    columnOf,
    entryOf,
    ...goingBack(terms, scaling),
    counted,
  };
}

export function spread(values: Float64Array): { mean: number; deviation: number } {
  const about = values[0] ?? 0;
  let sum = 0;
  for (const value of values) sum += value - about;
  const mean = about + sum / values.length;
  let squares = 0;
  for (const value of values) squares += (value - mean) ** 2;
  return { mean, deviation: Math.sqrt(squares / values.length) };
}

function products(covariates: readonly Covariate[], scaling: ReadonlyMap<string, Scaling>, rows: number): Float64Array {
  const entries = new Float64Array(rows).fill(1);
  for (const { name, values } of covariates) {
    const { centre, scale } = scaling.get(name) as Scaling;
    for (let i = 0; i < rows; i++) entries[i] = (entries[i] as number) * (((values[i] as number) - centre) / scale);
  }
  return entries;
}

/** A fitted column is a product of (x − centre)/scale, which multiplied out is made of columns as asked for. */
function goingBack(terms: readonly FixedTerm[], scaling: ReadonlyMap<string, Scaling>) {
  const columns = 1 + terms.reduce((sum, term) => sum + term.columns, 0);
  const back = new Float64Array(columns * columns);
  back[0] = 1;
  const at = new Map<string, number>([[columnKey([], []), 0]]);
  const keyed = terms.flatMap((term) =>
    Array.from({ length: term.columns }, (_, k) => {
      const levels = levelsOf(term, k);
      const parts = term.factors.map(({ name }, f) => `${name} ${levels[f]}`);
      at.set(
        columnKey(
          parts,
          term.covariates.map(({ name }) => name),
        ),
        term.from + k,
      );
      return { column: term.from + k, parts, covariates: term.covariates };
    }),
  );
  let logScale = 0;
  for (const { column, parts, covariates } of keyed) {
    for (const { name } of covariates) logScale += Math.log((scaling.get(name) as Scaling).scale);
    for (let subset = 0; subset < 2 ** covariates.length; subset++) {
      const kept = covariates.filter((_, bit) => (subset >> bit) & 1).map(({ name }) => name);
      let weight = 1;
      for (const { name } of covariates) {
        const { centre, scale } = scaling.get(name) as Scaling;
        weight *= kept.includes(name) ? 1 / scale : -centre / scale;
      }
      if (weight === 0) continue;
      const row = at.get(columnKey(parts, kept)) as number;
      back[row * columns + column] = weight;
    }
  }
  return { back, logScale };
}

const columnKey = (parts: readonly string[], covariates: readonly string[]): string =>
  JSON.stringify([[...parts].sort(), [...covariates].sort()]);
