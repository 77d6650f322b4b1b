import { type Category, categoryList, expectOneKind, sortedCategories } from './categories';
import { choice, matrix, options, probability } from './check';
import { normalQuantile } from './distributions';
import { StatsError } from './errors';

export const kappaWeights = ['none', 'linear', 'quadratic'] as const;
export type KappaWeights = (typeof kappaWeights)[number];

export interface CohenKappaInput {
  first: readonly Category[];
  second: readonly Category[];
  weights?: KappaWeights | readonly (readonly number[])[] | undefined;
  level?: number | undefined;
}

export interface CohenKappaResult {
  kappa: number;
  standardError: number;
  lower: number;
  upper: number;
}

/** A table of more would be figures and no categories. */
const mostCategories = 1000;

/**
 * How far two raters put the same things into the same categories, beyond what chance would give: Cohen's kappa.
 *
 * Use it for two raters, or one rater twice, each thing rated once by both; for categories in an order give weights, so
 * that near misses count in part. Assumes things rated independently of each other.
 *
 * @param input.first category of each thing by the first rater: texts or numbers, not mixed; at least 2
 * @param input.second by the second, in the same order
 * @param input.weights agreement credited to a pair of categories: `none` (default), 1 for the same, else 0; `linear`,
 *   1 − distance/largest distance; `quadratic`, 1 − its square. The distance counts places among the categories that occur,
 *   in sorted order (numbers, and texts that read as numbers, by size). Or a matrix of weights from 0 to 1 in that order,
 *   1 on the diagonal, rows for the first rater
 * @param input.level of the interval, between 0 and 1, by default 0.95
 * @returns kappa; standardError, large-sample and not under the null; lower and upper, kappa ± z·standardError, not cut at
 *   1. Where raters agree in everything, or one of them used a single category (kappa 0), the standard error is 0: there
 *   the large-sample formula has nothing to go by, and the interval says nothing
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range (weights, or more than 1000 categories),
 *   unknown-choice, not-enough-data, inconsistent (lists of unequal length, texts among numbers, a matrix of another size
 *   or without 1 on its diagonal), no-variation (both raters used one and the same category only)
 *
 * Accuracy: 1e-12 relative.
 * Source: Cohen (1960), Educational and Psychological Measurement 20:37–46; Cohen (1968), Psychological Bulletin
 * 70:213–220 (weights); Fleiss, Cohen & Everitt (1969), Psychological Bulletin 72:323–327 (standard error; formula from
 * memory, checked against R).
 *
 * @example
 * cohenKappa({ first: ['a', 'a', 'b', 'b', 'c', 'c'], second: ['a', 'a', 'b', 'c', 'c', 'c'] })
 * // { kappa: 0.75, standardError: 0.217506385602303, lower: 0.323695317812005, upper: 1.176304682188 }
 */
export function cohenKappa(input: CohenKappaInput): CohenKappaResult {
  options(input, ['first', 'second', 'weights', 'level']);
  const first = categoryList(input.first, 'first', 2);
  const second = categoryList(input.second, 'second', 2);
  const n = first.length;
  if (second.length !== n) {
    const wrong = 'differs in length';
    throw new StatsError('inconsistent', 'second', wrong, `as many entries as first, ${n}`, `${second.length} entries`);
  }
  const placed = (values: Category[], path: string) => values.map((value, i) => [value, `${path}.${i}`] as const);
  expectOneKind([...placed(first, 'first'), ...placed(second, 'second')]);
  const categories = sortedCategories([...first, ...second]);
  const k = categories.length;
  if (k > mostCategories) {
    const wrong = 'has too many categories together with second';
    throw new StatsError('out-of-range', 'first', wrong, `at most ${mostCategories}`, `${k} categories`);
  }
  const miss = disagreement(input.weights ?? 'none', k);
  const level = probability(input.level ?? 0.95, 'level');

  const place = new Map(categories.map((one, i) => [one, i]));
  const table = new Float64Array(k * k);
  const byFirst = new Float64Array(k);
  const bySecond = new Float64Array(k);
  first.forEach((one, thing) => {
    const i = place.get(one) as number;
    const j = place.get(second[thing] as Category) as number;
    table[i * k + j] = (table[i * k + j] as number) + 1;
    byFirst[i] = (byFirst[i] as number) + 1;
    bySecond[j] = (bySecond[j] as number) + 1;
  });
  // In counts, not shares: with the weights named these are whole numbers, and 0 and 1 come out as such.
  const rowMisses = new Float64Array(k);
  const columnMisses = new Float64Array(k);
  let seen = 0;
  let byChance = 0;
  for (let i = 0; i < k; i++) {
    for (let j = 0; j < k; j++) {
      const missed = miss(i, j);
      const expected = missed * (byFirst[i] as number) * (bySecond[j] as number);
      rowMisses[i] = (rowMisses[i] as number) + missed * (bySecond[j] as number);
      columnMisses[j] = (columnMisses[j] as number) + missed * (byFirst[i] as number);
      seen += missed * (table[i * k + j] as number);
      byChance += expected;
    }
  }
  if (byChance === 0) {
    const wrong = 'and second hold one and the same category only, so chance alone would agree as well';
    throw new StatsError('no-variation', 'first', wrong, 'categories that differ', categories[0]);
  }
  let squares = 0;
  for (let i = 0; i < k; i++) {
    for (let j = 0; j < k; j++) {
      const count = table[i * k + j] as number;
      if (count === 0) continue;
      const margins = (rowMisses[i] as number) + (columnMisses[j] as number);
      squares += count * ((margins * seen * n - miss(i, j) * byChance * n - seen * byChance) / (n * byChance)) ** 2;
    }
  }
  const kappa = (byChance - n * seen) / byChance;
  const standardError = (n * Math.sqrt(squares)) / byChance;
  const reach = -normalQuantile((1 - level) / 2) * standardError;
  return { kappa, standardError, lower: kappa - reach, upper: kappa + reach };
}

/** How far categories i and j are apart, in any unit: kappa is the same for all multiples. */
function disagreement(weights: unknown, k: number): (i: number, j: number) => number {
  if (typeof weights === 'string') {
    const named = choice(weights, 'weights', kappaWeights);
    if (named === 'none') return (i, j) => Number(i !== j);
    return named === 'linear' ? (i, j) => Math.abs(i - j) : (i, j) => (i - j) ** 2;
  }
  const given = matrix(weights, 'weights', { rows: 1, columns: 1 });
  if (given.length !== k || given[0]?.length !== k) {
    const got = `${given.length} × ${given[0]?.length}`;
    throw new StatsError('inconsistent', 'weights', 'fits other categories', `${k} × ${k}, as many as occur`, got);
  }
  given.forEach((row, i) => {
    row.forEach((weight, j) => {
      const path = `weights.${i}.${j}`;
      if (weight < 0 || weight > 1) {
        throw new StatsError('out-of-range', path, 'is no share of agreement', 'a number from 0 to 1', weight);
      }
      if (i === j && weight !== 1) {
        throw new StatsError('inconsistent', path, 'is on the diagonal', '1: the same category agrees in full', weight);
      }
    });
  });
  return (i, j) => 1 - (given[i]?.[j] ?? 0);
}
