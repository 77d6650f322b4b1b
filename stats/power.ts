import { type Alternative, alternatives, choice, options, probability, whole } from './check';
import { mostTrials } from './critical-count';
import { RejectionRegion } from './rejection-region';
import { type Truth, trueProportion, truthFields } from './true-proportion';

export interface PowerInput extends Truth {
  trials: number;
  alpha?: number | undefined;
  alternative?: Alternative | undefined;
}

export interface PowerResult {
  power: number;
  count: number | null;
  attainedAlpha: number;
}

const fields = ['trials', 'alpha', 'alternative', ...truthFields];

/**
 * How likely a difference test of a given size is to find a difference of a given size.
 *
 * Use it when planning. Assumes the exact binomial test and the same chance of a right answer in every trial; where
 * listeners differ and answer more than once, see `preferencePower`.
 *
 * @param input.trials at least 1
 * @param input.chance probability of a right answer by guessing, by default 0.5, with dPrime that of the method
 * @param input.alpha by default 0.05
 * @param input.alternative `greater` (default), `less` or `two-sided`
 * @param input.pd share of listeners who hear it, 0 … 1: a right answer then has probability chance + pd(1 − chance)
 * @param input.proportion instead of pd: the probability of a right answer itself, 0 … 1
 * @param input.dPrime instead of pd, with method: the distance of the samples, at least 0, in standard deviations of one
 *   impression; a right answer then has the probability that `proportionCorrect` gives
 * @param input.method how it is asked, see `dPrime`; only beside dPrime. It settles chance: one given besides must be
 *   the same to 1e-6
 * @returns power: probability of a significant count, both tails where two-sided; count and attainedAlpha as
 *   `criticalCount` gives them; where no count is significant, count is `null` and power 0
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice, inconsistent (more than one of
 *   pd, proportion and dPrime; method without dPrime; a chance that is not the method's)
 *
 * Accuracy: 1e-11 relative.
 * Source: the definition; the sizes of ISO 4120:2004 Table A.3 rest on it.
 *
 * @example
 * power({ trials: 40, chance: 1 / 3, pd: 0.3, alpha: 0.05 })
 * // { power: 0.815479689109126, count: 19, attainedAlpha: 0.0440864599044815 }
 */
export function power(input: PowerInput): PowerResult {
  options(input, fields);
  const trials = whole(input.trials, 'trials', { min: 1, max: mostTrials });
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const alternative = choice(input.alternative ?? 'greater', 'alternative', alternatives);
  const { chance, proportion } = trueProportion(input);
  return exactPower(trials, chance, alpha, alternative, proportion);
}

/** The same without checks. */
export function exactPower(
  trials: number,
  chance: number,
  alpha: number,
  alternative: Alternative,
  proportion: number,
): PowerResult {
  const region = new RejectionRegion(trials, chance, alpha, alternative);
  const { count, attained } = region;
  return { power: proportion === chance ? attained : region.probability(proportion), count, attainedAlpha: attained };
}
