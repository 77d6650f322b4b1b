import { matrix, options, probability } from './check';
import { fQuantile, fUpper } from './distributions';
import { StatsError } from './errors';
import { twoWaySquares } from './two-way-squares';

export interface IccInput {
  ratings: readonly (readonly number[])[];
  level?: number | undefined;
}

export interface IccForm {
  value: number | null;
  f: number;
  df1: number;
  df2: number;
  p: number;
  lower: number | null;
  upper: number | null;
}

export interface IccForms {
  oneWay: IccForm;
  twoWayRandom: IccForm;
  twoWayMixed: IccForm;
}

export interface IccResult {
  single: IccForms;
  average: IccForms;
  meanSquares: { between: number; within: number; raters: number; residual: number };
}

/**
 * How far ratings depend on what is rated and not on who rates: intraclass correlations in six forms.
 *
 * Use `oneWay` where every subject has raters of its own, `twoWayRandom` where the same raters, drawn from many, rated all
 * subjects and their levels should agree, `twoWayMixed` where only they matter and a steady difference of level between
 * them doesn't (consistency); `single` for one rating, `average` for the mean of all raters. Assumes effects that are
 * about normal with equal spread; the two-way forms, that raters and subjects don't interact.
 *
 * @param input.ratings one row a subject, one column a rater; at least 2 of each, no gaps
 * @param input.level of the intervals, two-sided, between 0 and 1, by default 0.95
 * @returns single and average, each with oneWay, twoWayRandom and twoWayMixed: value; f = between / within (oneWay) or
 *   between / residual (both others) with df1 and df2; p, its upper tail, the test that the value is 0; lower and upper.
 *   twoWayRandom's limits have degrees of freedom of their own (Satterthwaite; not below 0.1). Its average form alone can be
 *   without a floor, where raters agree far less than by chance: a limit beyond −1/(raters − 1) of the single form has no
 *   counterpart and is `null`, and so is a value whose denominator isn't positive.
 *   meanSquares: between subjects, within subjects, raters, residual
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent (rows of unequal
 *   length), no-variation (subjects' means all alike, or no residual: the raters agree perfectly but for steady
 *   differences, consistency is 1 and F has nothing to divide by)
 *
 * Accuracy: 1e-11 relative to the largest rating.
 * Source: Shrout & Fleiss (1979), Psychological Bulletin 86:420–428, cases 1 to 3; McGraw & Wong (1996), Psychological
 * Methods 1:30–46, table 7 for the limits. Formulas from memory, checked against R.
 *
 * @example
 * icc({ ratings: [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]] }).single.twoWayRandom
 * // { value: 0.289763779527559, f: 11.0272479564033, df1: 5, df2: 15, lower: 0.0187865133747121, upper: 0.761084369648953 }
 */
export function icc(input: IccInput): IccResult {
  options(input, ['ratings', 'level']);
  const ratings = matrix(input.ratings, 'ratings', { rows: 2, columns: 2 });
  const level = probability(input.level ?? 0.95, 'level');
  const n = ratings.length;
  const k = ratings[0]?.length ?? 0;
  const squares = twoWaySquares(ratings);
  const between = squares.rows / (n - 1);
  const within = squares.within / (n * (k - 1));
  const raters = squares.columns / (k - 1);
  const residual = squares.residual / ((n - 1) * (k - 1));
  if (residual === 0 || between === 0) {
    const wrong =
      between === 0
        ? 'have the same mean in every subject'
        : 'leave no residual: the raters agree perfectly but for steady differences, so consistency is 1 and F infinite';
    throw new StatsError(
      'no-variation',
      'ratings',
      wrong,
      'subjects that differ and raters who differ on them',
      'none',
    );
  }
  const tail = (1 - level) / 2;
  const df1 = n - 1;
  const reach = (numerator: number, denominator: number) => 1 / fQuantile(tail, denominator, numerator);
  /** Cases 1 and 3 are one formula on another error: from a ratio F to the value for one rating and for their mean. */
  const plain = (error: number, df2: number): { single: IccForm; average: IccForm } => {
    const f = between / error;
    const test = { f, df1, df2, p: fUpper(f, df1, df2) };
    const low = f / reach(df1, df2);
    const high = f * reach(df2, df1);
    const one = (ratio: number) => (ratio - 1) / (ratio + k - 1);
    const mean = (ratio: number) => 1 - 1 / ratio;
    const of = (value: (ratio: number) => number) => ({
      value: value(f),
      ...test,
      lower: value(low),
      upper: value(high),
    });
    return { single: of(one), average: of(mean) };
  };
  const oneWay = plain(within, n * (k - 1));
  const mixed = plain(residual, (n - 1) * (k - 1));

  const value = (between - residual) / (between + (k - 1) * residual + (k / n) * (raters - residual));
  // Degrees of freedom of the error that case 2 is tested against, a·raters + b·residual with these weights. Where a is
  // negative they can collapse, and F's quantiles with them: then the limits at least stay on their sides of the value.
  const a = (k * value * raters) / residual;
  const b = n * (1 + (k - 1) * value) - k * value;
  const df = Math.max(0.1, (a + b) ** 2 / (a ** 2 / (k - 1) + b ** 2 / ((n - 1) * (k - 1))));
  const inside = (ratio: number) => (df < 1 ? Math.min(1, ratio) : ratio);
  const low = inside(fQuantile(tail, df, df1)) * between;
  const high = between / inside(fQuantile(tail, df1, df));
  const error = k * raters + (k * n - k - n) * residual;
  const lower = (n * (low - residual)) / (error + n * low);
  const upper = (n * (high - residual)) / (error + n * high);
  const { f, df2, p } = mixed.single;
  const spread = between + (raters - residual) / n;
  /** Spearman and Brown: from one rating to the mean of k. */
  const stepped = (one: number) => (1 + (k - 1) * one > 0 ? (k * one) / (1 + (k - 1) * one) : null);
  return {
    single: {
      oneWay: oneWay.single,
      twoWayRandom: { value, f, df1, df2, p, lower, upper },
      twoWayMixed: mixed.single,
    },
    average: {
      oneWay: oneWay.average,
      twoWayRandom: {
        value: spread > 0 ? (between - residual) / spread : null,
        f,
        df1,
        df2,
        p,
        lower: stepped(lower),
        upper: stepped(upper),
      },
      twoWayMixed: mixed.average,
    },
    meanSquares: { between, within, raters, residual },
  };
}
