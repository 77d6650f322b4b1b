import type { ListenerId, PrototypeId } from '../shared/brands';
import type { OrderEffect } from '../shared/findings-result';
import type { Plan } from '../shared/plan';
import { listenersResult, meansOverListeners, type OwnFigure, pairOverListeners } from './listeners-result';
import { overListeners } from './over-listeners';
import { meanOf } from './own-ratings';
import type { Outcome } from './protocol';
import { type ComparedPair, pairsOf } from './rating-results';
import type { ScaleResult } from './results';

/** One listener's comparisons by the order of hearing: key `first second`, the second beside the first. */
type Heard = ReadonlyMap<string, readonly number[]>;

const keyOf = (first: PrototypeId, second: PrototypeId): string => `${first} ${second}`;

/** By listener, in the order in which they came. */
function heardOf(outcomes: readonly Outcome[]): Map<ListenerId, Heard> {
  const listeners = new Map<ListenerId, Map<string, number[]>>();
  for (const { listener, prototypes, value } of outcomes) {
    const own = listeners.get(listener) ?? new Map<string, number[]>();
    listeners.set(listener, own);
    const key = keyOf(prototypes[0] as PrototypeId, prototypes[1] as PrototypeId);
    own.set(key, [...(own.get(key) ?? []), value]);
  }
  return listeners;
}

/** What one listener said of a pair the one way round and the other; null unless it was heard both ways. */
function bothWays(heard: Heard, first: PrototypeId, second: PrototypeId) {
  const [straight, turned] = [heard.get(keyOf(first, second)), heard.get(keyOf(second, first))];
  if (!straight || !turned) return null;
  return {
    straight: meanOf(straight),
    turned: meanOf(turned),
    varianceLeft: (1 / straight.length + 1 / turned.length) / 8,
  };
}

/**
 * How much better `first` is than `second` to one listener: the mean of both orders, each its own mean, the sign turned
 * where `first` came first. What hearing first or second does to a grade is the same in both orders and falls out.
 * `varianceLeft` is half of that of the mean, since a comparison is one grade and a difference of ratings takes two.
 */
function ownFigures(heard: ReadonlyMap<ListenerId, Heard>, first: PrototypeId, second: PrototypeId): OwnFigure[] {
  return [...heard].flatMap(([listener, own]) => {
    const both = bothWays(own, first, second);
    // Plus nothing: no better is no −0.
    return both ? [{ listener, value: (both.turned - both.straight) / 2 + 0, varianceLeft: both.varianceLeft }] : [];
  });
}

/**
 * What one audience's comparisons come to. Pairs: over listeners' own means, each by a t test with the listener as the
 * unit (ITU-T P.800, annex E, turns the sign and takes the mean of all; from memory). Beside them a score of each
 * prototype, which sum to nothing: least squares over a listener's pairs, for whoever heard all of them both ways. With
 * all pairs equally often that is the sum of how much better it is than each other one, over the number of prototypes
 * (Scheffé 1952, Journal of the American Statistical Association 47:381–400, without order and interaction).
 * @param outcomes of one audience, in two-sample trials, the value being the grade of the second beside the first
 */
export function comparisonResult(
  outcomes: readonly Outcome[],
  scale: string,
  plan: Plan,
): { result: ScaleResult; compared: ComparedPair[] } {
  const level = 1 - plan.risks.alpha;
  const ids = plan.prototypes.map(({ id }) => id as PrototypeId);
  const heard = heardOf(outcomes.filter((outcome) => outcome.scale === scale));
  const compared = pairsOf(plan).map(([first, second]) =>
    pairOverListeners([first, second], ownFigures(heard, first, second), level),
  );
  const rows = [...heard.values()].flatMap((own) => {
    const row = scoresOf(own, ids);
    return row ? [row] : [];
  });
  return listenersResult(scale, plan, compared, {
    means: meansOverListeners(rows, ids, level),
    listeners: rows.length,
    ratings: outcomes.length,
    late: 0,
  });
}

/** One listener's scores; null unless every pair was heard both ways. */
function scoresOf(heard: Heard, ids: readonly PrototypeId[]): Map<PrototypeId, number> | null {
  const scores = new Map<PrototypeId, number>();
  for (const one of ids) {
    let sum = 0;
    for (const other of ids) {
      if (other === one) continue;
      const both = bothWays(heard, one, other);
      if (!both) return null;
      sum += (both.turned - both.straight) / 2;
    }
    scores.set(one, sum / ids.length + 0);
  }
  return scores;
}

/**
 * What hearing second did to the grades, whatever was heard: over listeners, each by the mean of both orders of each pair,
 * the sign not turned, so that what the samples are like falls out. By t, two-sided; over 0 the second is graded better.
 * @param outcomes of one audience
 * @param identical its trials with one sample twice, where there were any
 */
export function orderEffectOf(outcomes: readonly Outcome[], identical: readonly Outcome[], plan: Plan): OrderEffect {
  const level = 1 - plan.risks.alpha;
  const pairs = pairsOf(plan);
  const own = [...heardOf(outcomes).values()].flatMap((heard) => {
    const both = pairs.flatMap(([first, second]) => bothWays(heard, first, second) ?? []);
    return both.length === 0 ? [] : [meanOf(both.map(({ straight, turned }) => (straight + turned) / 2))];
  });
  const { estimate: mean, p, listeners } = overListeners('order', own, level);
  const alike = [...heardOf(identical).values()].map((heard) => meanOf([...heard.values()].flat()));
  const nulls = overListeners('order', alike, level);
  return {
    mean,
    p,
    listeners,
    nullPairs: identical.length === 0 ? null : { mean: nulls.estimate, p: nulls.p, trials: identical.length },
  };
}

/**
 * Comparisons as if each sample had been rated: of either sample of a trial how much better it was than the other, times
 * (k − 1)/k of k prototypes, so that means over all comparisons are the scores of `comparisonResult`.
 */
export function asScores(outcomes: readonly Outcome[], { prototypes }: Pick<Plan, 'prototypes'>): Outcome[] {
  const weight = (prototypes.length - 1) / prototypes.length;
  return outcomes.flatMap((outcome) => [
    { ...outcome, place: 0, value: -outcome.value * weight + 0 },
    { ...outcome, place: 1, value: outcome.value * weight },
  ]);
}
