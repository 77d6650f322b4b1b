import { type Alternative, alternatives, choice, counts, options, probability } from './check';
import {
  binomialCdf,
  binomialCdfFrom,
  binomialPmf,
  binomialUpper,
  binomialUpperFrom,
  equallyProbable,
} from './distributions';

export interface BinomialTestInput {
  correct: number;
  trials: number;
  chance?: number | undefined;
  alternative?: Alternative | undefined;
}

export interface BinomialTestResult {
  p: number;
  midP: number;
  proportion: number;
}

/**
 * How surprising so many right answers would be if every one were a guess: the exact binomial test.
 *
 * Use it for difference tests: triangle, duo-trio, ABX, and for paired answers of which each comes from a person of its
 * own. Assumes independent trials with the same chance of a right guess; it holds for repeated answers of one listener
 * only where nobody hears anything, since then every trial is a guess of its own.
 *
 * @param input.correct right answers, a whole number from 0 to `trials`
 * @param input.trials answers in all, at least 1
 * @param input.chance probability of a right answer by guessing, between 0 and 1, by default 0.5
 * @param input.alternative `greater` by default: P(X ≥ correct); `less`: P(X ≤ correct); `two-sided`: all outcomes no
 *   more probable than the one seen (to 1e-7 relative)
 * @returns p; midP: p less half the probability of the outcomes as probable as the one seen on the sides tested;
 *   proportion: correct / trials
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: 1e-11 relative up to 1e6 trials, 1e-10 up to 1e9, tails of 1e-290 included.
 * Source: Clopper & Pearson (1934), Biometrika 26:404–413, for the exact tails; the two-sided rule is that of least
 * probability (common practice).
 *
 * @example
 * binomialTest({ correct: 12, trials: 16, chance: 0.5 })
 * // { p: 0.0384063720703125, midP: 0.0245208740234375, proportion: 0.75 }
 */
export function binomialTest(input: BinomialTestInput): BinomialTestResult {
  options(input, ['correct', 'trials', 'chance', 'alternative']);
  const { correct, trials } = counts(input.correct, input.trials);
  const chance = probability(input.chance ?? 0.5, 'chance');
  const alternative = choice(input.alternative ?? 'greater', 'alternative', alternatives);
  const seen = binomialPmf(correct, trials, chance);
  const proportion = correct / trials;
  if (alternative === 'two-sided') {
    const { p, asProbable } = leastProbable(correct, seen, trials, chance);
    return { p, midP: p - asProbable / 2, proportion };
  }
  const p = alternative === 'greater' ? atLeast(correct, seen, trials, chance) : atMost(correct, seen, trials, chance);
  return { p, midP: p - seen / 2, proportion };
}

/** All counts are at least 0 and at most `trials`: these two tails are 1 without an addition that could round. */
const atLeast = (correct: number, seen: number, trials: number, chance: number) =>
  correct === 0 ? 1 : binomialUpperFrom(seen, correct, trials, chance);
const atMost = (correct: number, seen: number, trials: number, chance: number) =>
  correct === trials ? 1 : binomialCdfFrom(seen, correct, trials, chance);

interface TwoSided {
  p: number;
  asProbable: number;
}

/** p: all outcomes no more probable than `correct`; asProbable: those of them that are as probable. */
function leastProbable(correct: number, seen: number, trials: number, chance: number): TwoSided {
  const mean = trials * chance;
  const upward = correct > mean;
  // The outcomes of the other side grow less probable away from the mean: find the nearest that is rare enough.
  let near = upward ? Math.floor(mean) : Math.ceil(mean);
  let far = upward ? -1 : trials + 1;
  const rare = (count: number) => binomialPmf(count, trials, chance) <= seen * equallyProbable;
  if (near === correct || rare(near)) far = near;
  while (Math.abs(far - near) > 1) {
    const middle = Math.floor((far + near) / 2);
    if (rare(middle)) far = middle;
    else near = middle;
  }
  if (far === correct) return { p: 1, asProbable: modes(correct, trials, chance) };
  const own = upward ? atLeast(correct, seen, trials, chance) : atMost(correct, seen, trials, chance);
  const other = upward ? binomialCdf(far, trials, chance) : binomialUpper(far, trials, chance);
  const opposite = binomialPmf(far, trials, chance);
  const alike = opposite * equallyProbable >= seen ? opposite : 0;
  return { p: Math.min(1, own + other), asProbable: seen + alike };
}

/** The probability of the most probable count, and of its neighbour where two are equally probable. */
function modes(correct: number, trials: number, chance: number): number {
  const seen = binomialPmf(correct, trials, chance);
  const neighbours = [correct - 1, correct + 1].map((count) => binomialPmf(count, trials, chance));
  return seen + neighbours.filter((p) => p * equallyProbable >= seen).reduce((sum, p) => sum + p, 0);
}
