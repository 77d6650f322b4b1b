import { list } from '../check';
import { StatsError } from '../errors';
import type { Covariate, Factor, ModelTable } from './model-table';

/** One name, or several that interact. */
export type TermName = string | readonly string[];

/** A fixed term: factors and covariates multiplied, with the columns that it has in the design. */
export interface FixedTerm {
  name: string;
  /** As given, so that columns are named in that order. */
  names: readonly string[];
  factors: Factor[];
  covariates: Covariate[];
  /**
   * For each factor whether it is told by its differences from the first level. That is so where the term without it is in
   * the model; else every level has a column of its own. A rule of the general linear model, as McCullagh & Nelder (1989),
   * Generalized Linear Models, section 3.4, have it (from memory).
   */
  byContrast: boolean[];
  /** First column. */
  from: number;
  columns: number;
}

const mostNames = 4;

/** Reads `fixed` or one group of `random`: a name or a list of two to four. */
export function readName(value: unknown, path: string): string[] {
  const names = typeof value === 'string' ? [value] : list(value, path, 1, 'names', mostNames);
  return names.map((name, i) => {
    const at = typeof value === 'string' ? path : `${path}.${i}`;
    if (typeof name !== 'string' || name === '') {
      throw new StatsError('wrong-type', at, 'is no name of a column', 'a text that is not empty', name);
    }
    if (names.indexOf(name) !== i) throw new StatsError('inconsistent', at, 'occurs twice', 'each name once', name);
    return name;
  });
}

/** What makes two lists of names the same term, in whatever order they stand. */
const keyOf = (names: readonly string[]): string => JSON.stringify([...names].sort());

/** Whether a term of just these names is in the model; no names are the intercept, which always is. */
const isIn = (terms: ReadonlySet<string>, names: readonly string[]) => names.length === 0 || terms.has(keyOf(names));

/** Fixed terms in the order given. Column 0 is the intercept. */
export function fixedTerms(value: unknown, covariates: ReadonlySet<string>, table: ModelTable): FixedTerm[] {
  const named = list(value, 'fixed', 0, 'terms', 100).map((one, i) => readName(one, `fixed.${i}`));
  const keys = named.map(keyOf);
  keys.forEach((key, i) => {
    if (keys.indexOf(key) === i) return;
    throw new StatsError('inconsistent', `fixed.${i}`, 'is a term that occurs twice', 'each term once', named[i]);
  });
  const terms = new Set(keys);
  let from = 1;
  return named.map((names, i) => {
    const factors = names.filter((name) => !covariates.has(name)).map((name) => table.factor(name));
    for (const { name, levels } of factors) {
      if (levels.length > 1) continue;
      const wrong = `needs two levels of ${name} or more`;
      throw new StatsError('not-enough-data', `fixed.${i}`, wrong, 'factors that vary', levels[0]);
    }
    const byContrast = factors.map(({ name }) =>
      isIn(
        terms,
        names.filter((other) => other !== name),
      ),
    );
    const columns = factors.reduce((product, { levels }, k) => product * (levels.length - (byContrast[k] ? 1 : 0)), 1);
    const own = names
      .filter((name) => covariates.has(name))
      .map((name) => varying(table.covariate(name), `fixed.${i}`));
    const term = { name: names.join(':'), names, factors, covariates: own, byContrast, from, columns };
    from += columns;
    if (from > mostColumns) {
      const wrong = `takes the fixed columns beyond ${mostColumns}`;
      throw new StatsError('out-of-range', `fixed.${i}`, wrong, `at most ${mostColumns} columns`, from);
    }
    return term;
  });
}

const mostColumns = 500;

function varying(covariate: Covariate, path: string): Covariate {
  if (covariate.values.some((value) => value !== covariate.values[0])) return covariate;
  const wrong = `has a covariate, ${covariate.name}, that is the same in every row`;
  throw new StatsError('no-variation', path, wrong, 'covariates that vary', covariate.values[0]);
}

/** Whether all shorter terms that can be made of the names of `term` are in the model as well. */
export function isHierarchical(term: FixedTerm, terms: readonly FixedTerm[]): boolean {
  const keys = new Set(terms.map(({ names }) => keyOf(names)));
  return Array.from({ length: 2 ** term.names.length - 1 }, (_, subset) =>
    term.names.filter((__, bit) => (subset >> bit) & 1),
  ).every((names) => isIn(keys, names));
}

/** Levels, one for each of the term's factors, that column k of the term stands for. */
export function levelsOf(term: FixedTerm, k: number): number[] {
  let rest = k;
  return term.factors.map(({ levels }, f) => {
    const skipped = term.byContrast[f] ? 1 : 0;
    const width = levels.length - skipped;
    const level = (rest % width) + skipped;
    rest = Math.floor(rest / width);
    return level;
  });
}

/** The column, within the term, that a row with these levels has an entry in; −1 where it has none. */
export function columnFor(term: FixedTerm, levelAt: (factor: Factor) => number): number {
  let column = 0;
  let stride = 1;
  for (let f = 0; f < term.factors.length; f++) {
    const factor = term.factors[f] as Factor;
    const level = levelAt(factor) - (term.byContrast[f] ? 1 : 0);
    if (level < 0) return -1;
    column += level * stride;
    stride *= factor.levels.length - (term.byContrast[f] ? 1 : 0);
  }
  return column;
}

/** Names of the term's columns: each factor's name with the level behind it, each covariate's name, joined by colons. */
export function columnNames(term: FixedTerm): string[] {
  return Array.from({ length: term.columns }, (_, k) => {
    const levels = levelsOf(term, k);
    return term.names
      .map((name) => {
        const f = term.factors.findIndex((factor) => factor.name === name);
        return f < 0 ? name : `${name}${term.factors[f]?.levels[levels[f] as number]}`;
      })
      .join(':');
  });
}
