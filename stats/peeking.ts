import { type Alternative, alternatives, choice, options, probability, whole } from './check';
import { RejectionRegion } from './rejection-region';

export interface PeekingInput {
  first: number;
  last: number;
  every?: number | undefined;
  chance?: number | undefined;
  alpha?: number | undefined;
  alternative?: Alternative | undefined;
}

export interface PeekingResult {
  falseAlarms: number;
  looks: number;
}

/** More trials would take seconds, and change little. */
export const mostPeeked = 2_000;

/**
 * How often a difference test of fixed size cries wolf when somebody looks again and again and stops as soon as p ≤ alpha.
 *
 * Use it to say what peeking costs a plan that is meant to be looked at once, at its end. Assumes that there is nothing to
 * hear, so that every trial is a guess of its own, and that each look takes the exact binomial test at the full alpha.
 *
 * @param input.first trials before the first look, at least 1
 * @param input.last trials at the last look, from first to 2,000
 * @param input.every trials from one look to the next, by default 1; the last look comes at `last` in any case
 * @param input.chance probability of a right answer by guessing, by default 0.5
 * @param input.alpha the risk of a false alarm that a single look would have, by default 0.05
 * @param input.alternative `greater` (default), `less` or `two-sided`
 * @returns falseAlarms: probability that at least one look is significant; looks: how many there are
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: 1e-11 relative: sums of probabilities, trial by trial, over the counts that no look has stopped at.
 * Source: the definition; Armitage, McPherson & Rowe (1969), Journal of the Royal Statistical Society A 132:235–244,
 * work it out the same way for binomial data (from memory).
 *
 * @example
 * peeking({ first: 10, last: 100 })
 * // { falseAlarms: 0.184342299115427, looks: 91 }
 */
export function peeking(input: PeekingInput): PeekingResult {
  options(input, ['first', 'last', 'every', 'chance', 'alpha', 'alternative']);
  const first = whole(input.first, 'first', { min: 1, max: mostPeeked });
  const last = whole(input.last, 'last', { min: first, max: mostPeeked });
  const every = whole(input.every ?? 1, 'every', { min: 1, max: mostPeeked });
  const chance = probability(input.chance ?? 0.5, 'chance');
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const alternative = choice(input.alternative ?? 'greater', 'alternative', alternatives);

  const region = new RejectionRegion(1, chance, alpha, alternative);
  /** Probability of each count of right answers without a look that stopped. */
  let going = Float64Array.of(1);
  let falseAlarms = 0;
  let looks = 0;
  for (let trials = 1; trials <= last; trials++) {
    if (trials > 1) region.addTrial();
    const next = new Float64Array(trials + 1);
    for (let right = 0; right < trials; right++) {
      const here = going[right] as number;
      next[right] = (next[right] as number) + here * (1 - chance);
      next[right + 1] = here * chance;
    }
    going = next;
    const looked = trials === last || (trials >= first && (trials - first) % every === 0);
    if (!looked) continue;
    looks++;
    const from = region.upper?.reach ?? trials + 1;
    const downTo = trials - (region.lower?.reach ?? trials + 1);
    for (let right = 0; right <= trials; right++) {
      if (right < from && right > downTo) continue;
      falseAlarms += going[right] as number;
      going[right] = 0;
    }
  }
  return { falseAlarms: Math.min(1, falseAlarms), looks };
}
