import type { ListenerId, PrototypeId } from '../shared/brands';
import { kept } from './groups';
import type { Outcome } from './protocol';

/** What one listener rated one prototype on one scale: in each of his or her sittings, in the order of hearing. */
export type OwnSittings = ReadonlyMap<number, readonly number[]>;

/** What one listener rated on one scale, by prototype and sitting. */
export interface OwnRatings {
  listener: ListenerId;
  prototypes: ReadonlyMap<PrototypeId, OwnSittings>;
}

/**
 * Ratings on one scale by listener, prototype and sitting.
 * @param outcomes scored answers of one audience; those on other scales are passed over
 * @returns one entry a listener who rated anything on that scale
 */
export function ownRatings(outcomes: readonly Outcome[], scale: string): OwnRatings[] {
  const listeners = new Map<ListenerId, Map<PrototypeId, Map<number, number[]>>>();
  const inOrder = outcomes
    .filter((outcome) => outcome.scale === scale)
    .sort((a, b) => a.sittingNumber - b.sittingNumber || a.position - b.position);
  for (const outcome of inOrder) {
    const { listener, sittingNumber, value } = outcome;
    const own = kept(listeners, listener, () => new Map<PrototypeId, Map<number, number[]>>());
    const sittings = kept(own, ratedPrototype(outcome), () => new Map<number, number[]>());
    kept(sittings, sittingNumber, () => [] as number[]).push(value);
  }
  return [...listeners].map(([listener, prototypes]) => ({ listener, prototypes }));
}

/** The sample that a rating is about, in a trial of one or of several. */
export const ratedPrototype = ({ prototypes, place = 0 }: Outcome): PrototypeId => prototypes[place] as PrototypeId;

export const meanOf = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** A listener's mean: that of the means of his or her sittings, so that a hidden repeat doesn't weigh double. */
export const ownMean = (sittings: OwnSittings): number => meanOf([...sittings.values()].map(meanOf));

/** How much of the variance of a single rating is left in `ownMean`: 1 for one rating, 1/S for one in each of S sittings. */
export const varianceLeft = (sittings: OwnSittings): number =>
  [...sittings.values()].reduce((sum, values) => sum + 1 / values.length, 0) / sittings.size ** 2;
