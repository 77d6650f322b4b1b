import { number, options, probability, whole } from './check';
import { mostTrials } from './critical-count';
import { RejectionRegion } from './rejection-region';

export interface SimilarityCountInput {
  trials: number;
  chance?: number | undefined;
  pd: number;
  beta?: number | undefined;
}

export interface SimilarityCountResult {
  count: number | null;
}

/**
 * How many right answers a similarity test bears: the most that still show that hardly anyone hears a difference.
 *
 * Use it to plan a test that is to show likeness, or to print its table: with `count` right answers or fewer, the share of
 * listeners who hear a difference is below pd, at a risk of beta. Assumes independent trials; a listener either hears it
 * and is right, or guesses.
 *
 * @param input.trials at least 1, at most ten million
 * @param input.chance probability of a right answer by guessing, between 0 and 1, by default 0.5
 * @param input.pd the share of listeners that would matter if it could hear the difference, 0 … 1; right answers then come
 *   with probability pc = chance + pd(1 − chance)
 * @param input.beta risk of calling alike what so many can tell apart, between 0 and 1, by default 0.05
 * @returns count: the largest with P(X ≤ count) ≤ beta at pc, `null` where even no right answer at all is too likely. It is
 *   given also where it lies below what guessing alone brings, where printed tables show a dash
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range
 *
 * Accuracy: exact; a tail equal to beta but for rounding (1e-12 relative) counts as reached.
 * Source: ISO 4120:2021 Table A.2, ISO 10399:2004 Table A.2 and ISO 5495:2005 Table A.3 are made by this rule.
 *
 * @example
 * similarityCount({ trials: 60, chance: 1 / 3, pd: 0.3, beta: 0.05 })
 * // { count: 25 }
 */
export function similarityCount(input: SimilarityCountInput): SimilarityCountResult {
  options(input, ['trials', 'chance', 'pd', 'beta']);
  const trials = whole(input.trials, 'trials', { min: 1, max: mostTrials });
  const chance = probability(input.chance ?? 0.5, 'chance');
  const pd = number(input.pd, 'pd', { min: 0, max: 1 });
  const beta = probability(input.beta ?? 0.05, 'beta');
  return { count: new RejectionRegion(trials, chance + pd * (1 - chance), beta, 'less').count };
}
