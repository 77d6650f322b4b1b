import { choice, list, number, options, probability, seedOf, whole } from './check';
import type { ComparisonModelInput } from './comparison-model';
import type { Comparison } from './comparisons';
import { panelWorths } from './panel-worths';
import { resampledIntervals } from './resampled-intervals';

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
export interface WorthBootstrapInput extends Common, ComparisonModelInput {
  statistic: 'bradley-terry';
  listeners: readonly (readonly Comparison[])[];
  items?: readonly string[] | undefined;
}
export type ListenerBootstrapInput = MeanBootstrapInput | WorthBootstrapInput;

export interface ListenerBootstrapResult {
  estimates: { name: string; estimate: number; lower: number; upper: number; standardError: number }[];
  resamples: number;
  separated: number;
  redrawn: number;
}

/** Statistics of a panel in which listener i occurs `times[i]` times, one a name. */
export interface PanelStatistic {
  names: string[];
  /** Writes them to `out`; false where such a panel says nothing on them. */
  write(out: Float64Array, times: Uint32Array): boolean;
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
 * @param input.ties, input.orderEffect, input.link, input.halfWin (bradley-terry) the model, as in `bradleyTerry`; order
 *   effect and weight of ties are fitted to every panel along with the worths, but not among the estimates
 * @param input.level two-sided, by default 0.95
 * @param input.resamples 100 to 1,000,000, by default 10,000
 * @param input.seed 32 bits or a text, by default 1
 * @param input.method `bca` (default): corrected for bias and for a spread that changes with the estimate, `percentile`
 * @returns estimates {name, estimate, lower, upper, standardError (standard deviation over resamples)}; resamples;
 *   separated: resamples whose worths were not finite. Those are fitted with half a win added each way (and half a tie with
 *   davidson) to every pair that the whole panel answered, which keeps them at the far end, where they belong; leaving
 *   them out would shorten the interval. Resamples without any tie have finite worths: those at ν = 0. Panels with one
 *   listener left out, for bca, are fitted likewise, and not counted; redrawn: resamples drawn again, since the listeners in
 *   them don't join all items or leave order and worth as one. They say nothing on the worths, at either end; half wins
 *   would pull them to zero. More than one redrawn to nine kept are refused: the scale then hangs on who happens to be in
 *   the panel. With halfWin none is redrawn
 * @throws StatsError separated, islands and not-identified as `bradleyTerry` where the whole panel has no finite worths;
 *   inconsistent for davidson with probit; not-enough-data, also at listeners where more than a tenth of the panels drawn
 *   say nothing on the worths; not-converged; also missing, unknown-option, wrong-type, out-of-range, unknown-choice
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
  options(input, [...shared, 'items', 'ties', 'orderEffect', 'link', 'halfWin']);
  const statistic = choice(input.statistic, 'statistic', bootstrapStatistics);
  const panel = list(input.listeners, 'listeners', 2, 'listeners');
  const level = probability(input.level ?? 0.95, 'level');
  const resamples = whole(input.resamples ?? 10_000, 'resamples', { min: 100, max: 1_000_000 });
  const seed = seedOf(input.seed ?? 1);
  const method = choice(input.method ?? 'bca', 'method', bootstrapMethods);
  const computed =
    statistic === 'bradley-terry' ? panelWorths(panel, input as WorthBootstrapInput) : means(panel, input, statistic);
  const { estimates, separated, redrawn } = resampledIntervals(computed, panel.length, {
    level,
    resamples,
    seed,
    method,
  });
  return { estimates, resamples, separated, redrawn };
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
    write: (out, times) => {
      let sum = 0;
      let listeners = 0;
      for (let i = 0; i < times.length; i++) {
        sum += (times[i] as number) * (own[i] as number);
        listeners += times[i] as number;
      }
      out[0] = sum / listeners;
      return true;
    },
    separated: () => 0,
  };
}
