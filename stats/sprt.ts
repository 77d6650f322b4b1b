import { flag, options, probability } from './check';
import { StatsError } from './errors';
import { outcomesOf } from './outcomes';

export type SprtDecision = 'bound-for-difference' | 'bound-for-none' | 'continue';

export interface SprtInput {
  p0: number;
  p1: number;
  alpha?: number | undefined;
  beta?: number | undefined;
  outcomes: readonly number[];
  strict?: boolean | undefined;
}

export interface SprtResult {
  decision: SprtDecision;
  decidedAt: number | null;
  upper: number;
  lower: number;
  attainedAlphaBound: number;
  path: number[];
}

/** A bound that is met but for rounding counts as crossed. */
const rounding = 1e-12;

/**
 * Whether a difference test may stop yet, looked at after every answer: Wald's sequential probability ratio test.
 *
 * Use it where answers come one after another and each costs: between two shares of right answers fixed beforehand it
 * needs the fewest on average. Assumes independent answers with one probability of being right, and that the first bound
 * met ends the test; whoever wants to look at will without naming p1 takes `alwaysValid`.
 *
 * @param input.p0 probability of a right answer by guessing, between 0 and 1
 * @param input.p1 probability of a right answer where there is the difference worth finding, above p0 and below 1
 * @param input.alpha risk of a false alarm, by default 0.05
 * @param input.beta risk of missing the difference, by default 0.05; alpha + beta is below 1
 * @param input.outcomes answers as they came, 1 right and 0 wrong; there may be none yet
 * @param input.strict false by default: Wald's bounds, by which the risk of a false alarm may exceed alpha a little; true:
 *   the upper bound that keeps it at alpha or below, since under guessing the likelihood ratio is a martingale
 * @returns decision: the bound met first, or `continue`; decidedAt: after which answer, counted from 1, `null` if
 *   undecided; upper, lower: bounds of the log likelihood ratio, ln((1 − β)/α), strict ln(1/α), and ln(β/(1 − α));
 *   attainedAlphaBound: what the risk of a false alarm can't exceed, α/(1 − β), strict α; path: the log likelihood ratio
 *   after each answer, also after the decision
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range; inconsistent where p1 is not above p0 or
 *   alpha + beta not below 1
 *
 * Accuracy: 1e-13 relative to the larger of its two parts, right and wrong; a bound met but for 1e-12 counts as met.
 * Source: Wald (1947), Sequential Analysis, chapters 3 and 5; strict: Ville's inequality (1939), Étude critique de la
 * notion de collectif.
 *
 * @example
 * sprt({ p0: 0.5, p1: 0.75, outcomes: [1, 1, 0] })
 * // { decision: 'continue', decidedAt: null, upper: 2.94443897916644, path: [0.405465108108164, 0.810930216216329, 0.117783035656383] }
 */
export function sprt(input: SprtInput): SprtResult {
  options(input, ['p0', 'p1', 'alpha', 'beta', 'outcomes', 'strict']);
  const p0 = probability(input.p0, 'p0');
  const p1 = probability(input.p1, 'p1');
  if (p1 <= p0) throw new StatsError('inconsistent', 'p1', 'is not above p0', `a number between ${p0} and 1`, p1);
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const beta = probability(input.beta ?? 0.05, 'beta');
  if (alpha + beta >= 1) {
    throw new StatsError('inconsistent', 'beta', 'leaves no room beside alpha', 'alpha + beta below 1', beta);
  }
  const strict = flag(input.strict ?? false, 'strict');
  const outcomes = outcomesOf(input.outcomes);

  const upper = strict ? -Math.log(alpha) : Math.log((1 - beta) / alpha);
  const lower = Math.log(beta / (1 - alpha));
  const whenRight = Math.log(p1 / p0);
  const whenWrong = Math.log((1 - p1) / (1 - p0));
  let right = 0;
  // From the counts, not by adding up: rounding doesn't grow along the path.
  const path = outcomes.map((outcome, i) => {
    right += outcome;
    return right * whenRight + (i + 1 - right) * whenWrong;
  });
  const met = path.findIndex((ratio) => ratio >= upper - rounding || ratio <= lower + rounding);
  const decided = path[met];
  return {
    decision: decided === undefined ? 'continue' : decided > 0 ? 'bound-for-difference' : 'bound-for-none',
    decidedAt: decided === undefined ? null : met + 1,
    upper,
    lower,
    attainedAlphaBound: strict ? alpha : alpha / (1 - beta),
    path,
  };
}
