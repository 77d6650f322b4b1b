import { counts, options, probability } from './check';
import { clopperPearson } from './proportion-interval';

export interface DistinguishersInput {
  correct: number;
  trials: number;
  chance?: number | undefined;
  level?: number | undefined;
}

export interface DistinguishersResult {
  pd: number;
  proportion: number;
  lower: number;
  upper: number;
  belowChance: boolean;
}

/**
 * What share of listeners hears the difference, once the lucky guesses are taken out.
 *
 * Use it to put a difference test into plain words, and its limits beside the largest share that would not matter.
 * Assumes that a listener either hears it and is right, or guesses: right answers come with probability
 * chance + pd(1 − chance).
 *
 * @param input.correct right answers, a whole number from 0 to `trials`
 * @param input.trials at least 1
 * @param input.chance probability of a right answer by guessing, between 0 and 1, by default 0.5
 * @param input.level two-sided level, between 0 and 1, by default 0.95: each limit by itself holds with
 *   1 − (1 − level)/2, so that 0.90 gives the one-sided 95 % limits of a similarity test
 * @returns pd: the share, and proportion, the same; lower, upper: Clopper and Pearson's limits of a right answer turned
 *   into shares. All are cut at 0, since no share is less; belowChance says that even the upper limit was, so that the
 *   limits, both 0, are no sign of certainty: fewer were right than guessing explains
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range
 *
 * Accuracy: 1e-11 relative to the probability of a right answer.
 * Source: ISO 4120:2021 and ISO 5495:2005, notes on the share of discriminators (there with normal limits); limits:
 * Clopper & Pearson (1934), Biometrika 26:404–413; model: Abbott (1925), Journal of Economic Entomology 18:265–267.
 *
 * @example
 * distinguishers({ correct: 40, trials: 60, level: 0.9 })
 * // { pd: 0.333333333333333, lower: 0.107068711069548, upper: 0.533926030195278, belowChance: false }
 */
export function distinguishers(input: DistinguishersInput): DistinguishersResult {
  options(input, ['correct', 'trials', 'chance', 'level']);
  const { correct, trials } = counts(input.correct, input.trials);
  const chance = probability(input.chance ?? 0.5, 'chance');
  const level = probability(input.level ?? 0.95, 'level');
  const { lower, upper } = clopperPearson(correct, trials, level);
  const share = (proportion: number) => Math.max(0, (proportion - chance) / (1 - chance));
  const pd = share(correct / trials);
  return { pd, proportion: pd, lower: share(lower), upper: share(upper), belowChance: upper < chance };
}
