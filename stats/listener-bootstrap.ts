import { type TieRule, tieRules } from './bradley-terry';
import { choice, flag, itemNames, list, number, options, probability, seedOf, whole } from './check';
import { estimable, requireEstimable } from './comparison-graph';
import { type Comparison, PairCounts, readComparisons } from './comparisons';
import { resampledIntervals } from './resampled-intervals';
import { fitWorths } from './worth-fit';

const bootstrapStatistics = ['share', 'mean', 'bradley-terry'] as const;
export const bootstrapMethods = ['percentile', 'bca'] as const;
export type BootstrapMethod = (typeof bootstrapMethods)[number];

interface Common {
  level?: number | undefined;
  resamples?: number | undefined;
  seed?: number | string | undefined;
  method?: BootstrapMethod | undefined;
}
export interface MeanBootstrapInput extends Common {
  statistic: 'share' | 'mean';
  listeners: readonly (readonly number[])[];
}
export interface WorthBootstrapInput extends Common {
  statistic: 'bradley-terry';
  listeners: readonly (readonly Comparison[])[];
  items?: readonly string[] | undefined;
  ties?: TieRule | undefined;
  halfWin?: boolean | undefined;
}
export type ListenerBootstrapInput = MeanBootstrapInput | WorthBootstrapInput;

export interface ListenerBootstrapResult {
  estimates: { name: string; estimate: number; lower: number; upper: number; standardError: number }[];
  resamples: number;
  separated: number;
}

/** A statistic of a panel in which listener i occurs `times[i]` times. */
export interface PanelStatistic {
  names: string[];
  of(times: Uint32Array): Float64Array;
  /** How many panels so far had to be fitted with half a win added. */
  separated(): number;
}

const shared = ['statistic', 'listeners', 'level', 'resamples', 'seed', 'method'];

/**
 * Intervals that count listeners and not answers: panels are drawn anew from the listeners, each with all answers of
 * theirs, and the statistic is computed on each.
 *
 * Use it where listeners answer repeatedly and no model of how their answers hang together is wanted. Assumes that
 * listeners are drawn independently from those that the verdict is about; with fewer than about ten the intervals are too
 * short (common practice).
 *
 * @param input.statistic `share`: mean over listeners of each one's mean answer, answers 0 … 1 (½ for no preference);
 *   `mean`: the same of any numbers; `bradley-terry`: log worths, sum zero
 * @param input.listeners one list for each of at least two listeners: numbers, or rows {first, second, firstWins,
 *   secondWins, ties} for bradley-terry
 * @param input.items (bradley-terry) names, by default in the order in which they first occur
 * @param input.ties (bradley-terry) none or half, by default none
 * @param input.halfWin (bradley-terry) as in `bradleyTerry`
 * @param input.level two-sided, by default 0.95
 * @param input.resamples 100 to 1,000,000, by default 10,000
 * @param input.seed 32 bits or a text, by default 1
 * @param input.method `bca` (default): corrected for bias and for a spread that changes with the estimate, `percentile`
 * @returns estimates {name, estimate, lower, upper, standardError (standard deviation over resamples)}; resamples;
 *   separated: resamples whose worths were not finite. Those are fitted with half a win added each way to every pair that
 *   the whole panel compared, which keeps them at the far end, where they belong; leaving them out would shorten the
 *   interval. Panels with one listener left out, for bca, are fitted likewise
 * @throws StatsError separated and islands as `bradleyTerry` where the whole panel has no finite worths;
 *   not-enough-data; also missing, unknown-option, wrong-type, out-of-range, unknown-choice, not-supported
 *
 * Accuracy: that of the resampling; the same seed gives the same digits.
 * Source: Efron (1987), JASA 82:171–185 (bca); Davison & Hinkley (1997), Bootstrap Methods and their Application,
 * section 5.3 (limits at (resamples + 1)·share).
 *
 * @example
 * listenerBootstrap({ statistic: 'share', listeners: [[1, 1, 0], [1, 1, 1]], resamples: 100, method: 'percentile' })
 * // { estimates: [{ name: 'share', estimate: 0.833333333333333, lower: 0.666666666666667, upper: 1 }], separated: 0 }
 */
export function listenerBootstrap(input: ListenerBootstrapInput): ListenerBootstrapResult {
  options(input, [...shared, 'items', 'ties', 'halfWin']);
  const statistic = choice(input.statistic, 'statistic', bootstrapStatistics);
  const panel = list(input.listeners, 'listeners', 2, 'listeners');
  const level = probability(input.level ?? 0.95, 'level');
  const resamples = whole(input.resamples ?? 10_000, 'resamples', { min: 100, max: 1_000_000 });
  const seed = seedOf(input.seed ?? 1);
  const method = choice(input.method ?? 'bca', 'method', bootstrapMethods);
  const computed =
    statistic === 'bradley-terry' ? worths(panel, input as WorthBootstrapInput) : means(panel, input, statistic);
  const estimates = resampledIntervals(computed, panel.length, { level, resamples, seed, method });
  return { estimates, resamples, separated: computed.separated() };
}

function means(panel: readonly unknown[], input: ListenerBootstrapInput, statistic: 'share' | 'mean'): PanelStatistic {
  options(input, shared);
  const range = statistic === 'share' ? { min: 0, max: 1 } : { min: -1e15, max: 1e15 };
  const own = panel.map((rows, i) => {
    const answers = list(rows, `listeners.${i}`, 1, 'answers').map((value, k) =>
      number(value, `listeners.${i}.${k}`, range),
    );
    return answers.reduce((sum, value) => sum + value, 0) / answers.length;
  });
  return {
    names: [statistic],
    of: (times) => {
      let sum = 0;
      let listeners = 0;
      times.forEach((count, i) => {
        sum += count * (own[i] as number);
        listeners += count;
      });
      return Float64Array.of(sum / listeners);
    },
    separated: () => 0,
  };
}

function worths(panel: readonly unknown[], input: WorthBootstrapInput): PanelStatistic {
  const items = itemNames(input.items ?? namesIn(panel), 'items');
  const ties = choice(input.ties ?? 'none', 'ties', tieRules, ['davidson']);
  const halfWin = flag(input.halfWin ?? false, 'halfWin');
  const rows = panel.map((own, i) => readComparisons(own, `listeners.${i}`, items, ties));
  const pairs = new PairCounts(items.length, rows.flat());
  const own = rows.map((listener) => pairs.wins(listener));
  const added = (counts: Float64Array) => counts.map((count) => count + 0.5);
  const total = new Float64Array(2 * pairs.low.length);
  for (const counts of own)
    counts.forEach((count, k) => {
      total[k] = (total[k] as number) + count;
    });
  const whole = halfWin ? added(total) : total;
  requireEstimable(pairs, whole, items);
  const start = fitWorths(pairs, whole);
  let separated = 0;
  return {
    names: items,
    of: (times) => {
      const wins = new Float64Array(total.length);
      for (let i = 0; i < times.length; i++) {
        const count = times[i] as number;
        if (count === 0) continue;
        const counts = own[i] as Float64Array;
        for (let k = 0; k < wins.length; k++) wins[k] = (wins[k] as number) + count * (counts[k] as number);
      }
      if (halfWin) return fitWorths(pairs, added(wins), start);
      if (estimable(pairs, wins)) return fitWorths(pairs, wins, start);
      separated++;
      return fitWorths(pairs, added(wins), start);
    },
    separated: () => separated,
  };
}

/** Names of items in the order in which they first occur; what is no name is left to the check of the rows. */
function namesIn(panel: readonly unknown[]): string[] {
  const names = new Set<string>();
  for (const [i, rows] of panel.entries()) {
    for (const row of list(rows, `listeners.${i}`, 1, 'comparisons')) {
      const { first, second } = (row ?? {}) as Partial<Comparison>;
      for (const name of [first, second]) if (typeof name === 'string' && name !== '') names.add(name);
    }
  }
  return [...names];
}
