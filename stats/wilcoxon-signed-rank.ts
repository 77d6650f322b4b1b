import { type Alternative, alternatives, choice, options, pairs, probability } from './check';
import { normalQuantile, normalUpper } from './distributions';
import { StatsError } from './errors';
import { largest } from './moments';
import { midRanks } from './ranks';
import { signFlipNull, signFlipOfWhole } from './sign-flip';
import { hodgesLehmann, walshAverage, walshCount } from './walsh-averages';

export const zeroRules = ['drop', 'pratt'] as const;
export type ZeroRule = (typeof zeroRules)[number];

export interface WilcoxonSignedRankInput {
  first: readonly number[];
  second: readonly number[];
  alternative?: Alternative | undefined;
  zeros?: ZeroRule | undefined;
  level?: number | undefined;
}

export interface WilcoxonSignedRankResult {
  v: number;
  p: number;
  exact: boolean;
  nonZero: number;
  estimate: number;
  lower: number | null;
  upper: number | null;
  unbounded: boolean;
}

/** Up to so many differences everything is counted; beyond, the normal law stands in. */
const mostCounted = 50;
/** Differences nearer to each other than this share of the largest rating are the same: 0.3 − 0.2 and 0.2 − 0.1. */
const tolerance = 1e-12;

/**
 * Whether two samples are rated differently by the same listeners, by ranks: Wilcoxon's signed-rank test, with ties.
 *
 * Use it on one rating of each sample from each listener where `pairedT` would trust a coarse or lopsided scale too far.
 * Assumes that listeners answer independently and, under the null, that each difference could as well have the other
 * sign; estimate and interval assume differences that lie symmetrically around one centre.
 *
 * @param input.first ratings of the first sample, one a listener
 * @param input.second ratings of the second, by the same listeners in the same order
 * @param input.alternative of first − second: `two-sided` (default): twice the smaller tail, at most 1; `greater`:
 *   P(V ≥ v); `less`: P(V ≤ v)
 * @param input.zeros pairs without difference: `drop` (default) ranks the others only; `pratt` ranks them along and then
 *   leaves them out
 * @param input.level two-sided level of the interval, between 0 and 1, by default 0.95
 * @returns v: the sum of the ranks of the positive differences, ties sharing the mean of their ranks; p; exact: whether p
 *   comes from all ways to set the signs of the ranks as they are, ties included, which it does up to 50 non-zero pairs;
 *   beyond from the normal law with variance Σrank²/4, which corrects for ties, and a continuity correction of ½;
 *   nonZero: pairs with a difference; estimate: the median of the Walsh averages (Hodges–Lehmann) of all differences;
 *   lower and upper: the k-th of these averages from either end, k the largest with P(V < k) ≤ (1 − level)/2 for as many
 *   differences without ties, exact up to 50 and normal beyond; with ties the closed interval keeps at least its level.
 *   Zeros count in estimate and interval under either rule, as in Hollander & Wolfe, section 3.2: most who feel nothing
 *   have a typical difference of none, whatever the test of the others says.
 *   Where the panel is too small for the level (5 pairs at 0.95) no limit exists: lower and upper are `null`, unbounded
 *   is true
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice, not-enough-data, inconsistent
 *   (lists of unequal length), no-variation (every difference is zero)
 *
 * Accuracy: exact p rounding only, else 1e-12 relative. Differences within 1e-12 of the largest rating are tied or zero.
 * Source: Wilcoxon (1945), Biometrics Bulletin 1:80–83; Pratt (1959), JASA 54:655–667; Hodges & Lehmann (1963), Annals of
 * Mathematical Statistics 34:598–611; Noether (1967), JASA 62:184–188 (the interval with ties); Hollander & Wolfe (1973),
 * Nonparametric Statistical Methods, chapter 3. Formulas from memory.
 *
 * @example
 * wilcoxonSignedRank({ first: [7, 6, 8, 7, 5, 8, 7], second: [6, 6, 6, 5, 6, 5, 5] })
 * // { v: 19.5, p: 0.09375, exact: true, nonZero: 6, estimate: 1.5, lower: 0, upper: 2.5, unbounded: false }
 */
export function wilcoxonSignedRank(input: WilcoxonSignedRankInput): WilcoxonSignedRankResult {
  options(input, ['first', 'second', 'alternative', 'zeros', 'level']);
  const { first, second } = pairs(input.first, input.second, 1);
  const alternative = choice(input.alternative ?? 'two-sided', 'alternative', alternatives);
  const zeros = choice(input.zeros ?? 'drop', 'zeros', zeroRules);
  const level = probability(input.level ?? 0.95, 'level');
  const same = tolerance * Math.max(largest(first), largest(second));
  const differences = first.map((value, i) => value - (second[i] as number));
  const ranks = signedRanks(differences, same, zeros);
  const nonZero = ranks.length;
  if (nonZero === 0) {
    const wrong = 'equals second in every pair';
    throw new StatsError('no-variation', 'first', wrong, 'a pair that differs', `${first.length} pairs`);
  }
  const exact = nonZero <= mostCounted;
  const sorted = [...differences].sort((a, b) => a - b);
  const limit = limitPlace(sorted.length, (1 - level) / 2);
  return {
    v: ranks.reduce((sum, rank) => sum + Math.max(0, rank), 0),
    p: exact ? exactP(ranks, alternative) : normalP(ranks, alternative),
    exact,
    nonZero,
    estimate: hodgesLehmann(sorted),
    lower: limit === 0 ? null : walshAverage(sorted, limit),
    upper: limit === 0 ? null : walshAverage(sorted, walshCount(sorted.length) + 1 - limit),
    unbounded: limit === 0,
  };
}

/** The ranks of the sizes, each with the sign of its difference, of those that are not zero. */
function signedRanks(differences: readonly number[], same: number, zeros: ZeroRule): number[] {
  const isZero = (difference: number) => Math.abs(difference) <= same;
  const ranked = zeros === 'pratt' ? differences : differences.filter((difference) => !isZero(difference));
  const sizes = ranked.map((difference) => (isZero(difference) ? 0 : Math.abs(difference)));
  const { ranks } = midRanks(sizes, same);
  return ranks.map((rank, i) => Math.sign(ranked[i] as number) * rank).filter((_, i) => !isZero(ranked[i] as number));
}

/** Twice a mid-rank is whole, and tossing the signs of whole numbers is the sign-flip test. */
function exactP(signed: readonly number[], alternative: Alternative): number {
  const doubled = signed.map((rank) => 2 * rank);
  return signFlipOfWhole(doubled, alternative);
}

function normalP(signed: readonly number[], alternative: Alternative): number {
  // v less its mean is half the sum of the signed ranks.
  const off = signed.reduce((sum, rank) => sum + rank, 0) / 2;
  const spread = Math.sqrt(signed.reduce((sum, rank) => sum + rank ** 2, 0)) / 2;
  if (alternative === 'greater') return normalUpper((off - 0.5) / spread);
  if (alternative === 'less') return normalUpper((-off - 0.5) / spread);
  return Math.min(1, 2 * normalUpper((Math.abs(off) - 0.5) / spread));
}

/** The largest k with P(V < k) ≤ tail, V the rank sum of n differences without ties; 0 where none. */
function limitPlace(n: number, tail: number): number {
  const half = walshCount(n) / 2;
  if (n > mostCounted) {
    const spread = Math.sqrt((n * (n + 1) * (2 * n + 1)) / 24);
    return Math.max(0, Math.floor(half + normalQuantile(tail) * spread - 0.5) + 1);
  }
  const shares = signFlipNull(
    Array.from({ length: n }, (_, i) => i + 1),
    Math.floor(half),
  );
  let below = 0;
  let k = 0;
  while (k < shares.length) {
    below += shares[k] as number;
    if (below > tail * (1 + 1e-12)) break;
    k++;
  }
  return k;
}
