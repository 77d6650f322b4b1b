import { distinguishers } from '../stats/distinguishers';
import { StatsError } from '../stats/errors';
import { type ReplicatedDifferenceResult, replicatedDifference } from '../stats/replicated-difference';
import type { DifferenceDetail, Estimate } from './results';

type HeardShare = Pick<DifferenceDetail, 'heard' | 'heardOf' | 'unevenP'>;

/**
 * In what share of trials the difference is truly heard, lucky guesses taken off, with its interval.
 *
 * The listener is the unit: each hears it in a share of trials of their own, the figure is the average over listeners, and
 * its interval is the profile likelihood's, which knows that ten answers of one say less than one answer of ten. Where
 * fewer than two answered, or each answered once, there is nothing to tell listeners apart by: then all trials together,
 * each as if it came from a listener of its own, with Clopper and Pearson's limits.
 * @param counts right answers of each listener, who answered at least once
 * @param chance of a right answer by guessing
 * @param level two-sided
 * @returns `unevenP`: how likely right answers would differ so much over listeners if all heard it alike
 */
export function heardShare(
  counts: readonly { correct: number; trials: number }[],
  chance: number,
  level: number,
): HeardShare {
  const [correct, trials] = [sum(counts.map((one) => one.correct)), sum(counts.map((one) => one.trials))];
  if (trials === 0) return { heard: null, heardOf: null, unevenP: null };
  const overListeners = counts.length < 2 ? null : replicated(counts, chance, level);
  if (overListeners?.chanceCorrected.identified) {
    const { mean, lower, upper } = overListeners.chanceCorrected;
    return {
      heard: estimate(mean, lower, upper, level),
      heardOf: 'average-listener',
      unevenP: overListeners.overdispersion.p,
    };
  }
  const { pd, lower, upper } = distinguishers({ correct, trials, chance, level });
  return { heard: estimate(pd, lower, upper, level), heardOf: 'all-trials', unevenP: null };
}

const estimate = (value: number, lower: number, upper: number, level: number): Estimate => ({
  name: 'heard',
  value,
  lower,
  upper,
  level,
});

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

/** Null where no peak was found: findings must come all the same. */
function replicated(
  counts: readonly { correct: number; trials: number }[],
  chance: number,
  level: number,
): ReplicatedDifferenceResult | null {
  try {
    return replicatedDifference({
      listeners: counts.map(({ correct, trials }) => ({ correct, trials })),
      chance,
      level,
    });
  } catch (error) {
    if (error instanceof StatsError && error.code === 'not-converged') return null;
    throw error;
  }
}
