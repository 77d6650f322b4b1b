import { choice, options, pairs, probability } from './check';
import { logGamma, normalQuantile, normalUpper, tUpper } from './distributions';
import { StatsError } from './errors';
import { type KendallScore, kendallScore, tiedPairs } from './kendall-score';
import { type ProductMoment, productMoment } from './product-moment';
import { kendallLower, spearmanLower } from './rank-correlation-null';
import { midRanks } from './ranks';

export const correlationMethods = ['pearson', 'spearman', 'kendall'] as const;
export type CorrelationMethod = (typeof correlationMethods)[number];

export interface CorrelationInput {
  first: readonly number[];
  second: readonly number[];
  method?: CorrelationMethod | undefined;
  level?: number | undefined;
}

export interface CorrelationResult {
  value: number;
  p: number;
  lower?: number | null;
  upper?: number | null;
}

const mostForSpearman = 9;
const mostForKendall = 49;

/**
 * How far two lists of figures rise and fall together.
 *
 * Use `pearson` for straight-line relations of measured figures, `spearman` or `kendall` (tau-b) where only the order counts
 * or one value lies far out. Assumes pairs independent of each other; Pearson's p and interval, that both are about normal.
 *
 * @param input.first figures, at least 3 (rank methods: 2); values that are exactly equal are ties
 * @param input.second figures that belong to them, in the same order
 * @param input.method pearson (default), spearman, kendall
 * @param input.level of Pearson's interval, between 0 and 1, by default 0.95
 * @returns value, from −1 to 1; p, two-sided: Pearson by t; Spearman exact to 9 pairs without ties, else t; Kendall exact
 *   to 49 pairs without ties, else normal, its variance corrected for ties, no continuity correction; exact is twice the
 *   smaller tail, at most 1. Spearman at ±1, where t is infinite, has the exact p, 2·Π(size of tie)!/n!; Pearson at ±1 has
 *   p 0, as figures that are truly normal would. lower and upper for Pearson only, by Fisher's z: `null` with 3 pairs,
 *   whose z has no finite variance
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice, not-enough-data, inconsistent
 *   (lists of unequal length), no-variation (a list holds one value only)
 *
 * Accuracy: values 1e-12; p 1e-10 relative, far tails included.
 * Source: Fisher (1921), Metron 1:3–32 (z); Spearman (1904), American Journal of Psychology 15:72–101; Kendall (1970),
 * Rank Correlation Methods, 4th ed., chapters 3 to 5 (tau-b and its variance with ties). Formulas from memory, checked
 * against R.
 *
 * @example
 * correlation({ first: [44, 46, 42, 53, 45, 51], second: [2.6, 3.1, 2.5, 5, 3.6, 5.2], method: 'kendall' })
 * // { value: 0.733333333333333, p: 0.0555555555555556 }
 */
export function correlation(input: CorrelationInput): CorrelationResult {
  options(input, ['first', 'second', 'method', 'level']);
  const method = choice(input.method ?? 'pearson', 'method', correlationMethods);
  const level = probability(input.level ?? 0.95, 'level');
  const { first, second } = pairs(input.first, input.second, method === 'pearson' ? 3 : 2);
  if (method === 'pearson') return pearson(moment(first, second), first.length, level);
  for (const [path, list] of Object.entries({ first, second })) {
    if (list.every((value) => value === list[0])) throw constant(path, list[0]);
  }
  return method === 'spearman' ? spearman(first, second) : kendall(kendallScore(first, second), first.length);
}

const constant = (path: string, value: unknown) =>
  new StatsError('no-variation', path, 'holds one value only', 'values that differ', value);

function moment(first: readonly number[], second: readonly number[]): ProductMoment {
  const found = productMoment(first, second);
  if (found !== null) return found;
  // Which of them is constant shows when each is held against a list that isn't.
  const path = productMoment(first, first) === null ? 'first' : 'second';
  throw constant(path, path === 'first' ? first[0] : second[0]);
}

function pearson(r: ProductMoment, n: number, level: number): CorrelationResult {
  const p = tTest(r, n);
  if (n === 3) return { value: r.r, p, lower: null, upper: null };
  const z = Math.log(r.fromMinusOne / r.fromOne) / 2;
  const reach = -normalQuantile((1 - level) / 2) / Math.sqrt(n - 3);
  return { value: r.r, p, lower: Math.tanh(z - reach), upper: Math.tanh(z + reach) };
}

/** Two-sided p of t = r·√((n − 2)/(1 − r²)); at ±1, where t is infinite, 0. */
function tTest({ r, fromOne, fromMinusOne }: ProductMoment, n: number): number {
  const rest = fromOne * fromMinusOne;
  return rest === 0 ? 0 : Math.min(1, 2 * tUpper(Math.abs(r) * Math.sqrt((n - 2) / rest), n - 2));
}

function spearman(first: readonly number[], second: readonly number[]): CorrelationResult {
  const n = first.length;
  const a = midRanks(first);
  const b = midRanks(second);
  const found = moment(a.ranks, b.ranks);
  const value = found.r;
  if (a.tieSizes.length === n && b.tieSizes.length === n && n <= mostForSpearman) {
    const distance = a.ranks.reduce((total, rank, i) => total + (rank - (b.ranks[i] as number)) ** 2, 0);
    // The distribution is symmetric around its mean, so the nearer end tells the smaller tail.
    const p = 2 * spearmanLower(Math.min(distance, (n ** 3 - n) / 3 - distance), n);
    return { value, p: Math.min(1, p) };
  }
  if (Math.abs(value) < 1) return { value, p: tTest(found, n) };
  const logOrders = a.tieSizes.reduce((log, size) => log - logGamma(size + 1), logGamma(n + 1));
  return { value, p: Math.min(1, 2 * Math.exp(-logOrders)) };
}

function kendall({ score, pairs: all, firstTies, secondTies }: KendallScore, n: number): CorrelationResult {
  const value = score / Math.sqrt((all - tiedPairs(firstTies)) * (all - tiedPairs(secondTies)));
  if (firstTies.length === 0 && secondTies.length === 0 && n <= mostForKendall) {
    return { value, p: Math.min(1, 2 * kendallLower((all - Math.abs(score)) / 2, n)) };
  }
  const z = Math.abs(score) / Math.sqrt(scoreVariance(n, firstTies, secondTies));
  return { value, p: Math.min(1, 2 * normalUpper(z)) };
}

/**
 * Variance of the score over all orders, ties kept: Kendall's (1970) equation 4.4, gathered by the triples and the pairs of
 * entries that aren't all tied, so that nothing cancels where ties are many.
 */
function scoreVariance(n: number, firstTies: readonly number[], secondTies: readonly number[]): number {
  const pairs = (t: number) => t * (t - 1);
  const triples = (t: number) => t * (t - 1) * (t - 2);
  const untied = (ties: readonly number[], of: (t: number) => number) => ties.reduce((left, t) => left - of(t), of(n));
  const both = (of: (t: number) => number) => untied(firstTies, of) * untied(secondTies, of);
  return (n > 2 ? both(triples) / (9 * triples(n)) : 0) + both(pairs) / (2 * pairs(n));
}
