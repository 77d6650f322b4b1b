import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { summary } from '../stats/summary';
import { overListeners, wherePossible } from './over-listeners';
import { meanOf } from './own-ratings';
import type { ComparedPair } from './rating-results';
import type { MeanRating, ScaleResult } from './results';

/** One listener's figure for a pair, with how much of the variance of one rating is left in it. */
export interface OwnFigure {
  listener: string;
  value: number;
  varianceLeft: number;
}

/** A pair by its listeners' own figures, p uncorrected: the t test with the listener as the unit, which here decides. */
export function pairOverListeners(
  [first, second]: readonly [PrototypeId, PrototypeId],
  own: readonly OwnFigure[],
  level: number,
): ComparedPair {
  const { estimate, p, standardDeviation } = overListeners(
    'difference',
    own.map(({ value }) => value),
    level,
  );
  const byMeans = { difference: estimate, p };
  const degreesOfFreedom = p === null ? null : own.length - 1;
  return {
    pair: { first, second, ...byMeans, degreesOfFreedom, pAdjusted: null, byMeans },
    byModel: null,
    differences: own.map(({ listener, value }) => ({ listener, value })),
    standardDeviation,
    varianceLeft: own.length === 0 ? null : meanOf(own.map((one) => one.varianceLeft).sort((a, b) => a - b)),
  };
}

/** What stands beside pairs on a scale of which there is no model. */
export function listenersResult(
  scale: string,
  plan: Plan,
  compared: ComparedPair[],
  { means, listeners, ratings, late }: Pick<ScaleResult, 'means' | 'listeners' | 'ratings' | 'late'>,
): { result: ScaleResult; compared: ComparedPair[] } {
  return {
    compared,
    result: {
      scale,
      primary: scale === plan.primary.scale,
      listeners,
      ratings,
      late,
      means,
      // No model was meant, so there is no reason why it should be missing.
      model: { fixed: [], random: [], residual: null, leftOut: [], prototypes: null, singular: false, reason: null },
      blocks: null,
      friedman: null,
      pairs: compared.map(({ pair }) => pair),
    },
  };
}

/** Means of these samples with their t intervals, a listener's figure being one value; none for fewer than two listeners. */
export function meansOverListeners(
  rows: readonly ReadonlyMap<PrototypeId, number>[],
  ids: readonly PrototypeId[],
  level: number,
): MeanRating[] {
  return ids.flatMap((prototype) => {
    // Sorted, so that names and order of arrival move no digit.
    const values = rows.map((row) => row.get(prototype) as number).sort((a, b) => a - b);
    const found = wherePossible(() => summary({ values, level }));
    return found === null
      ? []
      : [{ name: 'mean', prototype, value: found.mean, lower: found.lower, upper: found.upper, level }];
  });
}
