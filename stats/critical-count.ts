import { type Alternative, alternatives, choice, options, probability, whole } from './check';
import { RejectionRegion } from './rejection-region';

export interface CriticalCountInput {
  trials: number;
  chance?: number | undefined;
  alpha?: number | undefined;
  alternative?: Alternative | undefined;
}

export interface CriticalCountResult {
  count: number | null;
  attainedAlpha: number;
}

/** More trials than any panel; the bound keeps every call below a second. */
export const mostTrials = 1e7;

/**
 * How many right answers out of so many trials are enough: the fewest that are significant.
 *
 * Use it to plan a difference test or to print its table. Assumes what the exact binomial test assumes.
 *
 * @param input.trials at least 1
 * @param input.chance probability of a right answer by guessing, between 0 and 1, by default 0.5
 * @param input.alpha risk of a false alarm, between 0 and 1, by default 0.05
 * @param input.alternative `greater` (default): smallest count with P(X ≥ count) ≤ alpha; `less`: the largest with
 *   P(X ≤ count) ≤ alpha; `two-sided`: the fewest above trials × chance whose exact two-sided p is ≤ alpha, the count of
 *   the larger side
 * @returns count, `null` where none is significant (two-sided: none above trials × chance, though few right answers may
 *   be); attainedAlpha: the probability under guessing of all significant counts (both sides where two-sided), 0 where
 *   there is none
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: the count is exact; a tail equal to alpha but for rounding (1e-12 relative) counts as reached. attainedAlpha
 * 1e-11 relative.
 * Source: ISO 10399:2004 Table A.1 and ISO 4120:2021 Table A.1 (layout of the triangle table) are made by this rule.
 *
 * @example
 * criticalCount({ trials: 30, chance: 1 / 3, alpha: 0.05 })
 * // { count: 15, attainedAlpha: 0.0434822757279194 }
 */
export function criticalCount(input: CriticalCountInput): CriticalCountResult {
  options(input, ['trials', 'chance', 'alpha', 'alternative']);
  const trials = whole(input.trials, 'trials', { min: 1, max: mostTrials });
  const chance = probability(input.chance ?? 0.5, 'chance');
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const alternative = choice(input.alternative ?? 'greater', 'alternative', alternatives);
  const region = new RejectionRegion(trials, chance, alpha, alternative);
  return { count: region.count, attainedAlpha: region.attained };
}
