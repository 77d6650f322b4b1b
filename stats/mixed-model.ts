import { adjusted } from './adjust-p';
import { choice, list, options, probability } from './check';
import { fUpper, tUpper } from './distributions';
import { StatsError } from './errors';
import { crossProducts } from './mixed/cross-products';
import { fixedDesign } from './mixed/fixed-design';
import { fixedTerms, type TermName } from './mixed/fixed-terms';
import { fitMixed } from './mixed/mixed-fit';
import { ModelTable } from './mixed/model-table';
import { ProfiledDeviance } from './mixed/profiled-deviance';
import { type RandomTerm, randomBlocks } from './mixed/random-blocks';
import { preparedResponse } from './mixed/response';
import { type Combination, Satterthwaite } from './mixed/satterthwaite';
import { lessWeights, TermContrasts } from './mixed/term-contrasts';
import { type VarianceRow, varianceRows } from './mixed/variance-rows';
import { tInterval } from './t-interval';

export const mixedMethods = ['reml', 'ml'] as const;
export type MixedMethod = (typeof mixedMethods)[number];

export interface MixedModelInput {
  rows: readonly object[];
  response: string;
  fixed: readonly TermName[];
  random: readonly RandomTerm[];
  covariates?: readonly string[] | undefined;
  method?: MixedMethod | undefined;
  level?: number | undefined;
  compare?: string | undefined;
}

interface Tested {
  estimate: number;
  standardError: number;
  degreesOfFreedom: number;
  t: number;
  p: number;
  lower: number;
  upper: number;
}

export interface FixedEffect extends Tested {
  term: string;
}

export interface TermTest {
  term: string;
  f: number;
  numerator: number;
  denominator: number;
  p: number;
}

export interface LevelPair extends Omit<Tested, 'estimate'> {
  a: string;
  b: string;
  difference: number;
  pAdjusted: number;
}

export interface MixedModelResult {
  fixed: FixedEffect[];
  tests: TermTest[];
  variance: VarianceRow[];
  residual: number;
  logLik: number;
  converged: true;
  singular: boolean;
  pairs?: LevelPair[];
}

/**
 * What lies behind ratings that hang together in several ways at once: fixed terms (prototype, excerpt, position) beside
 * random ones (listener, session within listener, unit within prototype).
 *
 * Use it where listeners rate repeatedly, over sessions and units, also unbalanced and with gaps. Assumes that random
 * effects and residuals are normal, each with one variance, and that a level's effects don't depend on the fixed terms.
 * With few levels of a group its variance is known badly; degrees of freedom say so.
 *
 * @param input.rows one object a rating; fields that the model doesn't name are passed over; at most 100,000
 * @param input.response the field that is explained, a number in every row
 * @param input.fixed terms beside the intercept: a field, or a list of two to four that interact. A factor has a column for
 *   every level but the first in sorted order (as numbers where all are numbers, else as texts); in an interaction it has
 *   one for every level if the term without it isn't in `fixed`
 * @param input.random terms {group, slopes = [], correlated = true, intercept = true}: group a field, or a list of fields
 *   whose combinations are the group; slopes are covariates. correlated false gives each effect a variance and no
 *   covariances. May be empty
 * @param input.covariates fields to be read as numbers and not as factors
 * @param input.method `reml` (default): restricted likelihood; `ml`
 * @param input.level of the intervals, two-sided, by default 0.95
 * @param input.compare a factor of `fixed`: all pairs of its levels are compared
 * @returns fixed: for the intercept and each column term (`prototypeB`, `prototypeB:excerpt2`), estimate, standardError,
 *   degreesOfFreedom (Satterthwaite), t, p (two-sided), lower, upper; tests: for each term f, numerator, denominator, p,
 *   of type III: with equally weighted levels of all other factors, whatever the coding, so an interaction's main effects
 *   are at 0 of covariates they interact with; variance: for each random term the variances, then the covariances {group
 *   (fields joined by colons), terms: one effect or two, value, standardDeviationOrCorrelation (`null` beside a variance
 *   of zero)}; residual: its variance; logLik (restricted for reml, then comparable only between models of the same fixed
 *   terms); converged: always true, anything else is an error; singular: a variance is at zero, or a correlation at −1 or
 *   1: degrees of freedom are then as without it; pairs (where asked for): a, b, difference of equally weighted means
 *   a − b, covariates at their mean, standardError, degreesOfFreedom, t, p, pAdjusted (Holm), lower, upper
 * @throws StatsError not-identified: terms that rows can't tell apart (they, or the empty cells, are named), a group
 *   with as many effects as rows, groups that divide the rows alike; not-enough-data: a factor or group of one level;
 *   no-variation: a response or covariate that doesn't vary, or a response that is told exactly; not-converged; also
 *   missing, unknown-option, wrong-type, out-of-range, unknown-choice, inconsistent
 *
 * Accuracy: 1e-6 relative in estimates, variances to 1e-5 of the largest, 1e-8 in logLik, 1e-4 in degrees of freedom.
 * Source: Bates, Mächler, Bolker & Walker (2015), Journal of Statistical Software 67(1); Satterthwaite (1946), Biometrics
 * Bulletin 2:110–114; Kuznetsova, Brockhoff & Christensen (2017), Journal of Statistical Software 82(13), for what F gets.
 *
 * @example
 * mixedModel({
 *   rows: [
 *     { listener: 'K', tip: 'foam', liking: 6 }, { listener: 'K', tip: 'silicone', liking: 4 },
 *     { listener: 'M', tip: 'foam', liking: 7 }, { listener: 'M', tip: 'silicone', liking: 6 },
 *     { listener: 'R', tip: 'foam', liking: 3 }, { listener: 'R', tip: 'silicone', liking: 3 },
 *   ],
 *   response: 'liking', fixed: ['tip'], random: [{ group: 'listener' }],
 * }).fixed[1]
 * // { term: 'tipsilicone', estimate: -1 }
 */
export function mixedModel(input: MixedModelInput): MixedModelResult {
  const { coefficients, test, terms, ...rest } = fittedMixedModel(input);
  const { pairs, ...fit } = rest;
  return { fixed: coefficients(), tests: terms.map(test), ...fit, ...(pairs && { pairs }) };
}

/** The same, with coefficients and tests of terms only where they are asked for: that of 200 listeners takes a while. */
export interface FittedMixedModel extends Omit<MixedModelResult, 'fixed' | 'tests'> {
  /** Names of the fixed terms. */
  terms: string[];
  coefficients(): FixedEffect[];
  /** @param term one of `terms` */
  test(term: string): TermTest;
}

/** As {@link mixedModel}. @throws StatsError as it does */
export function fittedMixedModel(input: MixedModelInput): FittedMixedModel {
  options(input, ['rows', 'response', 'fixed', 'random', 'covariates', 'method', 'level', 'compare']);
  const table = new ModelTable(input.rows, 'rows');
  const covariates = readCovariates(input.covariates ?? [], table);
  const response = nameAt('')(input.response, 'response');
  const restricted = choice(input.method ?? 'reml', 'method', mixedMethods) === 'reml';
  const tail = (1 - probability(input.level ?? 0.95, 'level')) / 2;
  const terms = fixedTerms(input.fixed, covariates, table);
  const compared = comparedFactor(input.compare ?? undefined, terms);
  requireElsewhere(response, [...covariates, ...terms.flatMap(({ names }) => names)]);
  const blocks = randomBlocks(input.random, covariates, table, response);
  const design = fixedDesign(terms, table.length);
  const { values, scale, mean, takenOff } = preparedResponse(table.covariate(response), design);
  const data = crossProducts(design, blocks, values);
  const deviance = new ProfiledDeviance(data, restricted);
  const fit = fitMixed(deviance);
  const inference = new Satterthwaite(deviance, fit, takenOff);
  const contrasts = new TermContrasts(design, data);
  const columns = design.names.length;
  const tested = (weights: Float64Array, from = 0): Tested => {
    const { estimate, standardError, degreesOfFreedom } = inference.of(weights);
    return figures({ estimate: from + scale * estimate, standardError: scale * standardError, degreesOfFreedom }, tail);
  };
  const pairs = compared && pairsOf(compared.levels, contrasts.levels(compared), tested);
  return {
    terms: terms.map(({ name }) => name),
    coefficients: () =>
      design.names.map((term, k) => ({
        term,
        ...tested(design.back.slice(k * columns, (k + 1) * columns), k === 0 ? mean : 0),
      })),
    test(name) {
      const term = terms.find((one) => one.name === name);
      if (!term) throw new RangeError(`${name} is no term of this model.`);
      const { f, numerator, denominator } = inference.together(contrasts.of(term));
      return { term: name, f, numerator, denominator, p: fUpper(f, numerator, denominator) };
    },
    variance: varianceRows(blocks, deviance, fit, scale ** 2),
    residual: fit.residualVariance * scale ** 2,
    logLik: -fit.value / 2 - deviance.freedom * Math.log(scale) - (restricted ? design.logScale : 0),
    converged: true,
    singular: fit.singular,
    ...(pairs && { pairs }),
  };
}

const nameAt =
  (path: string) =>
  (value: unknown, at: number | string): string => {
    if (typeof value === 'string' && value !== '') return value;
    const where = path === '' ? `${at}` : `${path}.${at}`;
    const code = value === undefined || value === null ? 'missing' : 'wrong-type';
    throw new StatsError(code, where, 'is no name of a column', 'a text that is not empty', value);
  };

/** A name that no row has is a slip of the pen: what it was meant for would silently be a factor. */
function readCovariates(value: unknown, table: ModelTable): Set<string> {
  const names = list(value, 'covariates', 0, 'names', 100).map(nameAt('covariates'));
  names.forEach((name, i) => {
    if (names.indexOf(name) !== i) {
      throw new StatsError('inconsistent', `covariates.${i}`, 'occurs twice', 'each name once', name);
    }
    if (table.has(name)) return;
    throw new StatsError('missing', `rows.0.${name}`, 'is missing, though covariates names it', 'a number', undefined);
  });
  return new Set(names);
}

function comparedFactor(value: unknown, terms: ReturnType<typeof fixedTerms>) {
  if (value === undefined) return null;
  const main = terms.filter(({ names, factors }) => names.length === 1 && factors.length === 1);
  const found = main.find(({ name }) => name === value)?.factors[0];
  if (found) return found;
  const allowed = main.map(({ name }) => name).join(', ') || 'a factor in fixed';
  throw new StatsError('unknown-choice', 'compare', 'is no factor that stands in fixed by itself', allowed, value);
}

function requireElsewhere(response: string, names: readonly string[]): void {
  if (!names.includes(response)) return;
  throw new StatsError('inconsistent', 'response', 'is a term of the model as well', 'a column of its own', response);
}

function figures({ estimate, standardError, degreesOfFreedom }: Combination, tail: number): Tested {
  const t = estimate / standardError;
  const p = Math.min(1, 2 * tUpper(Math.abs(t), degreesOfFreedom));
  const { lower, upper } = tInterval(estimate, standardError, degreesOfFreedom, tail);
  return { estimate, standardError, degreesOfFreedom, t, p, lower: bounded(lower), upper: bounded(upper) };
}

/** With next to no degrees of freedom a limit may lie beyond what a number holds. */
const bounded = (limit: number): number => Math.max(-Number.MAX_VALUE, Math.min(Number.MAX_VALUE, limit));

function pairsOf(
  levels: readonly string[],
  weights: readonly Float64Array[],
  tested: (weights: Float64Array) => Tested,
): LevelPair[] {
  const pairs = levels.flatMap((a, i) =>
    levels.slice(i + 1).map((b, offset) => {
      const apart = lessWeights(weights[i] as Float64Array, weights[i + 1 + offset] as Float64Array);
      const { estimate, ...rest } = tested(apart);
      return { a, b, difference: estimate, ...rest };
    }),
  );
  const corrected = adjusted(
    pairs.map(({ p }) => p),
    'holm',
  );
  return pairs.map((pair, k) => ({ ...pair, pAdjusted: corrected[k] as number }));
}
