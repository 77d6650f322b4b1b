import { choice, counts, options, probability } from './check';
import { normalQuantile } from './distributions';
import { type Limit, profileLimits } from './profile-limits';
import { dPrimeAt, type ThurstonianMethod, thurstonian, thurstonianMethods } from './thurstonian';

export interface DPrimeInput {
  method: ThurstonianMethod;
  correct: number;
  trials: number;
  level?: number | undefined;
}

export interface DPrimeResult {
  dPrime: number | null;
  unbounded: boolean;
  standardError: number | null;
  lower: number;
  upper: number | null;
}

/**
 * How far apart two samples are to the ear, in units of the spread of one impression: Thurstone's d′ from right answers.
 *
 * Use it to compare results of different methods, since a share of right answers means another difference in each.
 * Assumes independent answers of equally able listeners and the decision rule that the method's name stands for; for
 * `same-different-independent` also that both kinds of pairs were served equally often and neither answer is favoured.
 * ABX has two rules: `abx-differencing` compares X with A and with B, `abx-independent` judges each by itself.
 *
 * @param input.method 2-afc, 3-afc, triangle, duo-trio, tetrad, abx-differencing, abx-independent,
 *   same-different-independent
 * @param input.correct right answers, a whole number from 0 to `trials`
 * @param input.trials at least 1
 * @param input.level two-sided level of the interval, between 0 and 1, by default 0.95
 * @returns dPrime: 0 at or below chance, `null` with unbounded true where every answer is right (unbounded is false
 *   elsewhere); standardError by the delta method, `null` at either end; lower, upper: profile likelihood over d′ ≥ 0,
 *   so lower is 0 where chance is inside, and upper `null` where unbounded. With fewer right answers than guessing gives,
 *   d′ = 0 is the likeliest and the likelihood falls from there
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: 1e-11 relative, also near chance and near all right.
 * Source: Bi, Ennis & O'Mahony (1997), Journal of Sensory Studies 12:87–104 (standard error); Brockhoff & Christensen
 * (2010), Food Quality and Preference 21:330–338 (profile likelihood); see `thurstonian` for the methods.
 *
 * @example
 * dPrime({ method: 'duo-trio', correct: 37, trials: 50 })
 * // { dPrime: 1.95739288239478, unbounded: false, standardError: 0.385318663539490, lower: 1.168482789217160, upper: 2.728248389762430 }
 */
export function dPrime(input: DPrimeInput): DPrimeResult {
  options(input, ['method', 'correct', 'trials', 'level']);
  const method = choice(input.method, 'method', thurstonianMethods);
  const { correct, trials } = counts(input.correct, input.trials);
  const level = probability(input.level ?? 0.95, 'level');
  const { answers, slope } = thurstonian[method];
  const wrong = trials - correct;
  const unbounded = wrong === 0;
  const estimate = dPrimeAt(method, (answers * correct - trials) / (answers * trials), wrong / trials);
  const inner = !unbounded && estimate > 0;
  // A level next to 0 would have no drop at all, and with every answer right no limit.
  const drop = Math.max(normalQuantile((1 - level) / 2) ** 2 / 2, 1e-100);
  const { lower, upper } = profileLimits(correct, trials, answers, drop);
  const at = ({ above, rest }: Limit) => dPrimeAt(method, above, rest);
  return {
    dPrime: unbounded ? null : estimate,
    unbounded,
    standardError: inner ? Math.sqrt((correct / trials) * (wrong / trials ** 2)) / slope(estimate) : null,
    lower: lower === null ? 0 : at(lower),
    upper: unbounded ? null : at(upper),
  };
}
