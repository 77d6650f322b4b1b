import type { Plan } from '../shared/plan';
import { meanOf } from './own-ratings';
import type { Outcome } from './protocol';
import type { RatingDetail } from './results';

/**
 * How each unit was rated on one scale, each listener counting by the mean of own ratings of it. Describes, and decides
 * nothing: who heard which unit was drawn, so that two units may differ by their listeners.
 * @param outcomes scored answers of one audience; those on other scales are passed over
 * @returns units that were rated, in the order of the plan; undefined where no prototype has two of them
 */
export function unitMeans(outcomes: readonly Outcome[], scale: string, plan: Plan): RatingDetail['units'] {
  if (plan.prototypes.every(({ units }) => units.length < 2)) return undefined;
  const own = outcomes.filter((outcome) => outcome.scale === scale);
  return plan.prototypes.flatMap((prototype) =>
    prototype.units.flatMap(({ id }) => {
      const byListener = new Map<string, number[]>();
      for (const { listener, units, place = 0, value } of own) {
        if ((units[place] as string | undefined) !== id) continue;
        byListener.set(listener, [...(byListener.get(listener) ?? []), value]);
      }
      if (byListener.size === 0) return [];
      // Added up from the smallest, so that names and order of arrival move no digit.
      const sorted = (values: number[]) => values.sort((a, b) => a - b);
      const means = sorted([...byListener.values()].map((values) => meanOf(sorted(values))));
      const ratings = [...byListener.values()].reduce((sum, { length }) => sum + length, 0);
      return [{ unit: id, prototype: prototype.id, mean: meanOf(means), ratings }];
    }),
  );
}
