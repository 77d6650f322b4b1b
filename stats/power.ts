import { type Alternative, alternatives, choice, number, options, probability, whole } from './check';
import { countOf, probabilityOf, rejectionRegion } from './critical-count';
import { StatsError } from './errors';

export interface Truth {
  pd?: number | undefined;
  proportion?: number | undefined;
}

export interface PowerInput extends Truth {
  trials: number;
  chance?: number | undefined;
  alpha?: number | undefined;
  alternative?: Alternative | undefined;
}

export interface PowerResult {
  power: number;
  count: number | null;
  attainedAlpha: number;
}

/** What the catalogue offers here and the project doesn't yet. */
export const truthsToCome = { dPrime: 'pd or proportion', method: 'pd or proportion' };

/**
 * How likely a difference test of a given size is to find a difference of a given size.
 *
 * Use it when planning. Assumes the exact binomial test and the same chance of a right answer in every trial; where
 * listeners differ and answer more than once, see `preferencePower`.
 *
 * @param input.trials at least 1
 * @param input.chance probability of a right answer by guessing, by default 0.5
 * @param input.alpha by default 0.05
 * @param input.alternative `greater` (default), `less` or `two-sided`
 * @param input.pd share of listeners who hear it, 0 … 1: a right answer then has probability chance + pd(1 − chance)
 * @param input.proportion instead of pd: the probability of a right answer itself, 0 … 1
 * @returns power: probability of a significant count, both tails where two-sided; count and attainedAlpha as
 *   `criticalCount` gives them; where no count is significant, count is `null` and power 0
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice, inconsistent (both or neither of
 *   pd and proportion), not-supported (dPrime)
 *
 * Accuracy: 1e-11 relative.
 * Source: the definition; the sizes of ISO 4120:2004 Table A.3 rest on it.
 *
 * @example
 * power({ trials: 40, chance: 1 / 3, pd: 0.3, alpha: 0.05 })
 * // { power: 0.815479689109126, count: 19, attainedAlpha: 0.0440864599044815 }
 */
export function power(input: PowerInput): PowerResult {
  options(input, ['trials', 'chance', 'alpha', 'alternative', 'pd', 'proportion'], '', truthsToCome);
  const trials = whole(input.trials, 'trials', { min: 1, max: 1e7 });
  const chance = probability(input.chance ?? 0.5, 'chance');
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const alternative = choice(input.alternative ?? 'greater', 'alternative', alternatives);
  return exactPower(trials, chance, alpha, alternative, trueProportion(input, chance));
}

/** The same without checks. */
export function exactPower(
  trials: number,
  chance: number,
  alpha: number,
  alternative: Alternative,
  proportion: number,
): PowerResult {
  const region = rejectionRegion(trials, chance, alpha, alternative);
  return {
    power: probabilityOf(region, trials, proportion),
    count: countOf(region, trials, alternative),
    attainedAlpha: probabilityOf(region, trials, chance),
  };
}

/** The true probability of a right answer, from whichever of pd and proportion was given. */
export function trueProportion(input: Truth, chance: number): number {
  if (input.pd === undefined && input.proportion === undefined) {
    throw new StatsError('missing', 'pd', 'is missing', 'pd or proportion, a number from 0 to 1', undefined);
  }
  if (input.pd !== undefined && input.proportion !== undefined) {
    throw new StatsError('inconsistent', 'pd', 'stands beside proportion', 'one of the two', input.pd);
  }
  if (input.proportion !== undefined) return number(input.proportion, 'proportion', { min: 0, max: 1 });
  return chance + number(input.pd, 'pd', { min: 0, max: 1 }) * (1 - chance);
}
