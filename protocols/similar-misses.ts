import { binomialUpper } from '../stats/distributions';
import type { DifferenceDetail } from './results';

/** True shares for which it is told how often similarity is missed, as parts of the limit. */
const partsOfLimit = [0, 1 / 4, 1 / 2];

/**
 * Chance that so many trials don't show similarity, where the difference is truly heard in some share of them below the
 * limit, by all listeners alike; from nothing heard on.
 * @param most right answers with which similarity is shown; null: no count shows it
 */
export const similarMisses = (
  trials: number,
  chance: number,
  limit: number,
  most: number | null,
): DifferenceDetail['misses'] =>
  partsOfLimit.map((part) => {
    const heard = part * limit;
    const right = chance + (1 - chance) * heard;
    return { heard, miss: most === null ? 1 : binomialUpper(most + 1, trials, right) };
  });
