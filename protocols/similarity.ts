import type { Plan } from '../shared/plan';
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

const wrongInAll = (counts: readonly Counted[]): number =>
  counts.reduce((sum, { correct, trials }) => sum + trials - correct, 0);

/**
 * Whether a plan asks which of two has more of something. Whoever hears that the other one has more is wrong every time:
 * there many wrong answers are no sign of likeness, and it is asked of them, too, whether they are few enough.
 */
export const asksOneWay = ({ method }: Pick<Plan, 'method'>): boolean =>
  (method.spec as { attribute?: unknown }).attribute !== undefined;

/**
 * The p of a test for similarity alone: how likely so few right answers or fewer would be if the difference were truly
 * heard in a share `limit` of trials, by the panel that differs most (`stats/similarity-listeners.ts`).
 * @param counts one entry a listener
 * @param chance of a right answer by guessing
 * @param bothWays a difference may make answers wrong as well as right (`asksOneWay`): the larger p of the two, so that
 *   each keeps the risk (intersection–union: Berger 1982, Technometrics 24:295–300, from memory)
 * @returns null without answers
 */
export function similarityP(
  counts: readonly Counted[],
  chance: number,
  limit: number,
  bothWays = false,
): number | null {
  const groups = answeredAlike(counts.map(({ trials }) => trials));
  if (groups.length === 0) return null;
  const right = differsMostCdf(inAll(counts), groups, chance, limit);
  return bothWays ? Math.max(right, differsMostCdf(wrongInAll(counts), groups, 1 - chance, limit)) : right;
}

/**
 * Whether any count of right answers would show similarity.
 * @param trials of each listener
 */
export function canShowSimilarity(
  trials: readonly number[],
  chance: number,
  limit: number,
  beta: number,
  bothWays: boolean,
): boolean {
  const groups = answeredAlike(trials);
  const [most, mostWrong] = [mostRight(groups, chance, limit, beta), mostRight(groups, 1 - chance, limit, beta)];
  const all = trials.reduce((sum, own) => sum + own, 0);
  return most !== null && (!bothWays || (mostWrong !== null && most + mostWrong >= all));
}

/**
 * Whether a difference is heard too seldom to matter, with the listener as the unit: the one-sided upper limit on the
 * share truly heard. Where each listener answered once this is the exact count of ISO 4120. Shown where p, corrected over
 * audiences, is no more than β.
 * @param counts one entry a listener
 * @param chance of a right answer by guessing
 * @param limit share truly heard from which on it would matter
 * @param beta risk of a false "similar"
 * @param bothWays as for `similarityP`; `most` is of right answers alone
 * @returns null without answers
 */
export function similarityOf(
  counts: readonly Counted[],
  chance: number,
  limit: number,
  beta: number,
  bothWays = false,
): { detail: SimilarityDetail; p: number } | null {
  const p = similarityP(counts, chance, limit, bothWays);
  if (p === null) return null;
  const groups = answeredAlike(counts.map(({ trials }) => trials));
  const uppers = [upperShare(inAll(counts), groups, chance, beta)];
  if (bothWays) uppers.push(upperShare(wrongInAll(counts), groups, 1 - chance, beta));
  const once = groups.every(({ trials }) => trials === 1);
  return {
    p,
    detail: {
      limit,
      upper: Math.max(...uppers),
      level: 1 - beta,
      by: once ? 'exact-count' : 'over-listeners',
      most: mostRight(groups, chance, limit, beta),
    },
  };
}
