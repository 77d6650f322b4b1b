import { list, number, options, probability, whole } from './check';
import { tQuantile } from './distributions';
import { StatsError } from './errors';
import { clopperPearson } from './proportion-interval';

/** One listener's answers: either the share or the number of wins, out of so many trials. */
export interface ListenerShare {
  share?: number | undefined;
  wins?: number | undefined;
  trials: number;
}

export interface ClusteredShareIntervalInput {
  listeners: readonly ListenerShare[];
  level?: number | undefined;
}

export interface ClusteredShareIntervalResult {
  share: number;
  lower: number;
  upper: number;
  effectiveTrials: number;
}

/**
 * A share averaged over listeners, with an interval that takes the listener as the unit: answers of one listener
 * resemble each other, so ten answers of one say less than one answer of ten.
 *
 * Clopper–Pearson with an effective number of trials: share(1 − share) over the variance of the mean of the listeners'
 * shares, times (t(trials − 1)/t(listeners − 1))², kept between the number of listeners and the number of trials. The
 * floor is safe, since no spread of shares between 0 and 1 is wider than listeners who always answer alike. Where all
 * listeners have the same share, the spread says nothing and the effective number is that of the listeners: cautious.
 * One listener counts as one trial. Assumes that listeners are drawn independently from those the verdict is about; each
 * weighs the same, whatever their number of trials.
 *
 * @param input.listeners at least one; each with `trials` ≥ 1 and either `share`, 0 … 1, or `wins`, 0 … trials (a tie may
 *   count half)
 * @param input.level two-sided level, by default 0.95
 * @returns share: mean of the listeners' shares; lower, upper; effectiveTrials
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, inconsistent, not-enough-data
 *
 * Accuracy: 1e-11 relative.
 * Source: Korn & Graubard (1998), Survey Methodology 24:193–201 (formula from memory; the floor and the rule at zero
 * spread are ours).
 *
 * @example
 * clusteredShareInterval({ listeners: [3, 1, 2, 3].map((wins) => ({ wins, trials: 3 })) })
 * // { share: 0.75, lower: 0.194120449683243, upper: 0.993690536790290, effectiveTrials: 4 }
 */
export function clusteredShareInterval(input: ClusteredShareIntervalInput): ClusteredShareIntervalResult {
  options(input, ['listeners', 'level']);
  const rows = list(input.listeners, 'listeners', 1, 'listeners').map(shareOf);
  const level = probability(input.level ?? 0.95, 'level');
  const n = rows.length;
  const trials = rows.reduce((sum, row) => sum + row.trials, 0);
  const share = Math.min(1, rows.reduce((sum, row) => sum + row.share, 0) / n);
  const effectiveTrials = effective(
    rows.map((row) => row.share),
    share,
    trials,
    level,
  );
  return { share, ...clopperPearson(share * effectiveTrials, effectiveTrials, level), effectiveTrials };
}

function effective(shares: readonly number[], share: number, trials: number, level: number): number {
  const n = shares.length;
  const squares = shares.reduce((sum, one) => sum + (one - share) ** 2, 0);
  // Rounding in the mean must not pass for a spread.
  if (n === 1 || squares < 1e-20 * n) return n;
  const variance = squares / (n - 1) / n;
  const ratio = tQuantile((1 - level) / 2, trials - 1) / tQuantile((1 - level) / 2, n - 1);
  return Math.min(trials, Math.max(n, ((share * (1 - share)) / variance) * ratio ** 2));
}

function shareOf(row: unknown, i: number): { share: number; trials: number } {
  const path = `listeners.${i}`;
  options(row, ['share', 'wins', 'trials'], path);
  const { share, wins, trials } = row as Partial<ListenerShare>;
  const of = whole(trials, `${path}.trials`, { min: 1, max: 1e9 });
  if (share !== undefined && wins !== undefined) {
    throw new StatsError('inconsistent', `${path}.share`, 'stands beside wins', 'one of the two', share);
  }
  if (wins !== undefined) return { share: number(wins, `${path}.wins`, { min: 0, max: of }) / of, trials: of };
  return { share: number(share, `${path}.share`, { min: 0, max: 1 }), trials: of };
}
