import type { PrototypeId } from '../shared/brands';
import { meanOf, ownRatings } from './own-ratings';
import type { Outcome } from './protocol';

export interface SittingMean {
  /** Of the listener in this study, from 1. */
  sitting: number;
  prototype: PrototypeId;
  /** In points, each listener counting the same. */
  mean: number;
  listeners: number;
}

/**
 * How each prototype was rated on one scale in listeners' first, second … sittings: the mean over listeners of their
 * own mean there. Describes and decides nothing: who stays away from a sitting is missing in it, so two sittings may
 * be of different people.
 * @param outcomes scored answers of one audience; those on other scales are passed over
 * @returns by sitting, and within it in the order of `prototypes`; nothing where nobody rated
 */
export function ratingsBySitting(
  outcomes: readonly Outcome[],
  scale: string,
  prototypes: readonly PrototypeId[],
): SittingMean[] {
  const listeners = ownRatings(outcomes, scale);
  const last = Math.max(
    0,
    ...listeners.flatMap((own) => [...own.prototypes.values()].flatMap((sittings) => [...sittings.keys()])),
  );
  return Array.from({ length: last }, (_, i) => i + 1).flatMap((sitting) =>
    prototypes.flatMap((prototype) => {
      // Added up from the smallest, so that names and order of arrival move no digit.
      const means = listeners
        .flatMap((own) => {
          const values = own.prototypes.get(prototype)?.get(sitting);
          return values ? [meanOf(values)] : [];
        })
        .sort((a, b) => a - b);
      return means.length === 0 ? [] : [{ sitting, prototype, mean: meanOf(means), listeners: means.length }];
    }),
  );
}
