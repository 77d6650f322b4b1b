import { type Alternative, alternatives, choice, figure, number, options, probability } from './check';
import { nonCentralTCdf, nonCentralTUpper, normalQuantile, tQuantile } from './distributions';
import { StatsError } from './errors';

export interface SizeForMeansInput {
  standardDeviation: number;
  difference: number;
  alpha?: number | undefined;
  beta?: number | undefined;
  alternative?: Alternative | undefined;
}

export interface SizeForMeansResult {
  listeners: number;
  power: number;
}

/** The search ends here. */
const mostListeners = 1_000_000;
/** In standard deviations; beyond it nobody needs a plan. */
const largestEffect = 1000;

/**
 * How many listeners a comparison of two samples' ratings needs.
 *
 * The fewest for which the paired t test has power 1 − beta. Use it when planning; the standard deviation is that of one
 * listener's difference between the samples, from a pilot or an earlier panel, not that of the ratings. Assumes what
 * `pairedT` assumes.
 *
 * @param input.standardDeviation of the paired differences, above 0, in units of the scale
 * @param input.difference true mean difference that should not be missed, in the same units, not 0
 * @param input.alpha risk of a false alarm, between 0 and 1, by default 0.05
 * @param input.beta risk of missing the difference, between 0 and 1, by default 0.05
 * @param input.alternative `two-sided` (default): a significant result on either side counts; `greater` needs a
 *   difference above 0, `less` one below
 * @returns listeners, at least 2; power: the probability that so many find it, both tails where two-sided. Power only
 *   grows with listeners, so any larger panel does as well
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range (also a difference of more than 1,000 standard
 *   deviations), unknown-choice, inconsistent (a difference of 0 or on the side that is not tested), unreachable (more than
 *   1,000,000 listeners)
 *
 * Accuracy: listeners exact; power 1e-11 relative.
 * Source: Johnson & Welch (1940), Biometrika 31:362–389 (non-central t); Cohen (1988), Statistical Power Analysis,
 * section 2.3.5 (paired differences). Formula from memory.
 *
 * @example
 * sizeForMeans({ standardDeviation: 1.5, difference: 1, alpha: 0.05, beta: 0.2 })
 * // { listeners: 20, power: 0.807291679769 }
 */
export function sizeForMeans(input: SizeForMeansInput): SizeForMeansResult {
  options(input, ['standardDeviation', 'difference', 'alpha', 'beta', 'alternative']);
  const standardDeviation = number(input.standardDeviation, 'standardDeviation', { min: 0, max: 1e15, open: true });
  const difference = figure(input.difference, 'difference');
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const beta = probability(input.beta ?? 0.05, 'beta');
  const alternative = choice(input.alternative ?? 'two-sided', 'alternative', alternatives);
  const found = { greater: difference > 0, less: difference < 0, 'two-sided': difference !== 0 }[alternative];
  if (!found) {
    const allowed = `a difference ${{ greater: 'above', less: 'below', 'two-sided': 'off' }[alternative]} 0`;
    throw new StatsError('inconsistent', 'difference', 'could not be found on the side tested', allowed, difference);
  }
  const effect = Math.abs(difference) / standardDeviation;
  if (effect > largestEffect) {
    const allowed = `at least the difference / ${largestEffect}`;
    throw new StatsError('out-of-range', 'standardDeviation', 'is next to nothing', allowed, standardDeviation);
  }
  const plan = { effect, alpha, sides: alternative === 'two-sided' ? 2 : 1 };
  const listeners = fewest((n) => missed(n, plan) <= beta, byNormalLaw(plan, beta));
  if (listeners === null) {
    const allowed = `a difference that ${mostListeners} listeners find with power 1 − beta`;
    throw new StatsError('unreachable', 'difference', 'is too small beside its spread', allowed, difference);
  }
  return { listeners, power: powerOfPairedT(listeners, plan) };
}

export interface PairedTPlan {
  /** The difference in standard deviations, without its sign. */
  effect: number;
  alpha: number;
  sides: number;
}

/** The smallest n from 2 up for which `enough`, which once true stays true; looked for around a guess. */
function fewest(enough: (n: number) => boolean, guess: number): number | null {
  let short = 1;
  let reached = guess;
  for (let step = 1; !enough(reached); step *= 2) {
    if (reached === mostListeners) return null;
    short = reached;
    reached = Math.min(reached + step, mostListeners);
  }
  for (let step = 1; short === 1 && reached > 2; step *= 2) {
    const fewer = Math.max(2, reached - step);
    if (enough(fewer)) reached = fewer;
    else short = fewer;
  }
  while (reached - short > 1) {
    const middle = Math.floor((short + reached) / 2);
    if (enough(middle)) reached = middle;
    else short = middle;
  }
  return reached;
}

/** Where to start looking: how many it would take were the standard deviation known. */
function byNormalLaw({ effect, alpha, sides }: PairedTPlan, beta: number): number {
  const z = (risk: number) => -normalQuantile(Math.max(risk, 1e-300));
  const both = Math.max(0, z(alpha / sides) + z(beta));
  return Math.min(mostListeners, Math.max(2, Math.ceil((both / effect) ** 2)));
}

/** Probability that n listeners, at least 2, find it. Arguments are those of trusted callers. */
export function powerOfPairedT(n: number, { effect, alpha, sides }: PairedTPlan): number {
  const critical = criticalT(n, alpha / sides);
  const shift = effect * Math.sqrt(n);
  const opposite = sides === 2 ? nonCentralTCdf(-critical, n - 1, shift) : 0;
  return Math.min(1, nonCentralTUpper(critical, n - 1, shift) + opposite);
}

/** 1 − power, as such, so that a beta of 1e-20 is told from 0. */
function missed(n: number, { effect, alpha, sides }: PairedTPlan): number {
  const critical = criticalT(n, alpha / sides);
  // So far out that nothing is found: alpha below 1e-100 and two listeners.
  if (critical > 1e100) return 1;
  const shift = effect * Math.sqrt(n);
  const opposite = sides === 2 ? nonCentralTCdf(-critical, n - 1, shift) : 0;
  return nonCentralTCdf(critical, n - 1, shift) - opposite;
}

const criticalT = (n: number, tail: number): number => -tQuantile(tail, n - 1);
