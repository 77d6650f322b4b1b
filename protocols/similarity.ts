import { answeredAlike, differsMostCdf } from '../stats/heard-by-some';
import { mostRight, upperShare } from '../stats/similarity-listeners';
import type { SimilarityDetail } from './results';

/** Right answers of one listener. */
export interface Counted {
  correct: number;
  trials: number;
}

/** Right answers of a panel, as a test for similarity counts them. */
const inAll = (counts: readonly Counted[]): number => counts.reduce((sum, { correct }) => sum + correct, 0);

/**
 * The p of a test for similarity alone: how likely so few right answers or fewer would be if the difference were truly
 * heard in a share `limit` of trials, by the panel that differs most (`stats/similarity-listeners.ts`).
 * @param counts one entry a listener
 * @param chance of a right answer by guessing
 * @returns null without answers
 */
export function similarityP(counts: readonly Counted[], chance: number, limit: number): number | null {
  const groups = answeredAlike(counts.map(({ trials }) => trials));
  return groups.length === 0 ? null : differsMostCdf(inAll(counts), groups, chance, limit);
}

/**
 * Whether a difference is heard too seldom to matter, with the listener as the unit: the one-sided upper limit on the
 * share truly heard. Where each listener answered once this is the exact count of ISO 4120. Shown where p, corrected over
 * audiences, is no more than β.
 * @param counts one entry a listener
 * @param chance of a right answer by guessing
 * @param limit share truly heard from which on it would matter
 * @param beta risk of a false "similar"
 * @returns null without answers
 */
export function similarityOf(
  counts: readonly Counted[],
  chance: number,
  limit: number,
  beta: number,
): { detail: SimilarityDetail; p: number } | null {
  const p = similarityP(counts, chance, limit);
  if (p === null) return null;
  const groups = answeredAlike(counts.map(({ trials }) => trials));
  const once = groups.every(({ trials }) => trials === 1);
  return {
    p,
    detail: {
      limit,
      upper: upperShare(inAll(counts), groups, chance, beta),
      level: 1 - beta,
      by: once ? 'exact-count' : 'over-listeners',
      most: mostRight(groups, chance, limit, beta),
    },
  };
}
