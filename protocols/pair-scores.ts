import type { ListenerId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { bradleyTerry } from '../stats/bradley-terry';
import { StatsError } from '../stats/errors';
import {
  type ListenerBootstrapInput,
  type ListenerBootstrapResult,
  listenerBootstrap,
} from '../stats/listener-bootstrap';
import type { Outcome } from './protocol';
import type { AudienceResult } from './results';

type Rows = { first: string; second: string; firstWins: number; secondWins: number; ties: number }[];

/**
 * Bradley–Terry scores of three or more prototypes, with intervals by resampling listeners. Where the data separate (a
 * prototype that never lost, or never won) no finite scores exist: then half a win is added each way, that is said, and
 * there are no intervals.
 * @returns null for two prototypes, for fewer than two listeners, and where comparisons don't join all prototypes, or only
 *   by so few listeners that more than a tenth of the panels drawn anew would not
 */
export function pairScores(outcomes: readonly Outcome[], plan: Plan, resamples = 10_000): AudienceResult['scores'] {
  const items = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
  if (items.length < 3) return null;
  const listeners = rowsByListener(outcomes, items);
  if (listeners.length < 2) return null;
  const ties = plan.noPreference.rule === 'split' ? 'half' : 'none';
  const reason = obstacle(items, listeners.flat(), ties);
  if (reason?.code === 'islands' || reason?.code === 'not-enough-data') return null;
  const level = 1 - plan.risks.alpha;
  if (reason !== null) return marked(items, listeners.flat(), ties, level);
  const drawn = drawnAnew({ statistic: 'bradley-terry', listeners, items, ties, level, resamples, seed: 1 });
  if (drawn === null) return null;
  const { estimates, separated } = drawn;
  return {
    scores: estimates.map(({ name, estimate, lower, upper }) => ({
      prototype: name as PrototypeId,
      logWorth: estimate,
      lower,
      upper,
    })),
    level,
    resamples,
    separated,
    halfWinAdded: false,
    reason: null,
  };
}

/** Null where too many panels drawn anew don't join all prototypes. */
function drawnAnew(input: ListenerBootstrapInput): ListenerBootstrapResult | null {
  try {
    return listenerBootstrap(input);
  } catch (error) {
    if (error instanceof StatsError && error.code === 'not-enough-data') return null;
    throw error;
  }
}

/**
 * Scores with half a win added each way, without intervals: where data separate, the end that they leave open would be
 * drawn from what was added, and would come out the shorter the more one-sided the answers were.
 */
function marked(
  items: PrototypeId[],
  comparisons: Rows,
  ties: 'half' | 'none',
  level: number,
): AudienceResult['scores'] {
  const fitted = bradleyTerry({ items, comparisons, ties, halfWin: true });
  return {
    scores: fitted.items.map(({ item, logWorth }) => ({
      prototype: item as PrototypeId,
      logWorth,
      lower: null,
      upper: null,
    })),
    level,
    resamples: 0,
    separated: 0,
    halfWinAdded: true,
    reason: 'separated',
  };
}

/** Why there are no finite scores, or null when there are. */
function obstacle(items: PrototypeId[], comparisons: Rows, ties: 'half' | 'none'): StatsError | null {
  try {
    bradleyTerry({ items, comparisons, ties });
    return null;
  } catch (error) {
    if (error instanceof StatsError && ['separated', 'islands', 'not-enough-data'].includes(error.code)) return error;
    throw error;
  }
}

/**
 * Each listener's answers, and the listeners, in an order that depends on what was answered and on nothing else: the
 * same answers under other ids, or come in another order, are resampled to the same digits.
 */
function rowsByListener(outcomes: readonly Outcome[], items: readonly PrototypeId[]): Rows[] {
  const listeners = new Map<ListenerId, [key: string, row: Rows[number]][]>();
  for (const { listener, prototypes, value } of outcomes) {
    const [first, second] = prototypes as [PrototypeId, PrototypeId];
    const row = {
      first,
      second,
      firstWins: value > 0 ? 1 : 0,
      secondWins: value < 0 ? 1 : 0,
      ties: value === 0 ? 1 : 0,
    };
    const key = `${items.indexOf(first)} ${items.indexOf(second)} ${Math.sign(value)}`;
    listeners.set(listener, [...(listeners.get(listener) ?? []), [key, row]]);
  }
  const byKey = ([a]: [string, unknown], [b]: [string, unknown]) => (a < b ? -1 : a > b ? 1 : 0);
  return [...listeners.values()]
    .map((rows) => rows.sort(byKey))
    .map((rows): [string, Rows] => [rows.map(([key]) => key).join(), rows.map(([, row]) => row)])
    .sort(byKey)
    .map(([, rows]) => rows);
}
