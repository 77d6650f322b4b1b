import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { binomialCdf } from '../stats/distributions';
import { type AnsweredAlike, answeredAlike } from '../stats/heard-by-some';
import { largestSize, sizesFor } from '../stats/sample-size';
import { fewEnough, mostRight } from '../stats/similarity-listeners';
import type { DifferenceDetail } from './results';
import { asksOneWay } from './similarity';

/** True shares for which the chance to miss similarity is told, nothing first; those at or beyond the limit are no misses. */
const abilities = [0, 0.05, 0.1, 0.2, 0.3];

/** Beyond so many listeners, and so many answers of all, nobody plans; and looking on would take minutes. */
const mostListeners = 2_000;
const mostInAll = 20_000;

/** Up to how many listeners with so many trials each are looked for; where each answers once, that takes no time. */
export const mostSought = (each: number): number =>
  each === 1 ? largestSize : Math.min(mostListeners, Math.floor(mostInAll / each));

const inAll = (groups: readonly AnsweredAlike[]): number =>
  groups.reduce((sum, { listeners, trials }) => sum + listeners * trials, 0);

/** The counts of right answers that show similarity. */
export interface ShownBetween {
  /** Over 0 only where a difference may make answers wrong as well (`asksOneWay`). */
  least: number;
  most: number;
}

/** Which counts of right answers show similarity; null where none does. `bothWays` as for `similarityP`. */
export function shownBetween(
  groups: readonly AnsweredAlike[],
  chance: number,
  limit: number,
  beta: number,
  bothWays: boolean,
): ShownBetween | null {
  const most = mostRight(groups, chance, limit, beta);
  const mostWrong = bothWays ? mostRight(groups, 1 - chance, limit, beta) : inAll(groups);
  return between(most, mostWrong, inAll(groups));
}

function between(most: number | null, mostWrong: number | null, trials: number): ShownBetween | null {
  if (most === null || mostWrong === null) return null;
  const least = Math.max(0, trials - mostWrong);
  return least > most ? null : { least, most };
}

/** Chance of such a count where all listeners truly hear it in the same share of trials. */
export function chanceBetween(shown: ShownBetween | null, trials: number, chance: number, heard: number): number {
  if (shown === null) return 0;
  const right = chance + (1 - chance) * heard;
  return binomialCdf(shown.most, trials, right) - (shown.least > 0 ? binomialCdf(shown.least - 1, trials, right) : 0);
}

/**
 * Chance that a panel misses similarity that is there, at several true shares below the limit, nothing first. Exact, for
 * listeners who all hear alike.
 * @param trials of each listener
 * @param beta what this audience is tested at
 * @param bothWays as for `similarityP`
 */
export function similarityMisses(
  trials: readonly number[],
  chance: number,
  limit: number,
  beta: number,
  bothWays = false,
): DifferenceDetail['misses'] {
  const groups = answeredAlike(trials);
  if (groups.length === 0) return [];
  const shown = shownBetween(groups, chance, limit, beta, bothWays);
  return abilities
    .filter((heard) => heard < limit)
    .map((heard) => ({ heard, miss: 1 - chanceBetween(shown, inAll(groups), chance, heard) }));
}

/** The β that one of the plan's audiences is sure to be tested at: Holm's first step. */
export const betaEach = (plan: Plan): number => plan.risks.beta / Math.max(1, plan.audiences.length);

const trialsPlanned = (plan: Plan): number => (plan.method.spec as { trials: number }).trials * plan.sessions.count;

/**
 * The number of listeners from which on similarity is shown with the probability 1 − α, where nothing is heard at all.
 * Like any exact test's, that probability goes up and down like a saw, so the number is looked for until it has lasted a
 * quarter longer.
 * @returns null where 2,000 listeners or 20,000 answers would not do, or with one trial each 100,000
 */
export function similarityNeeded(plan: Plan, chance: number): { trials: number; listeners: number } | null {
  const listeners = listenersFor(
    trialsPlanned(plan),
    chance,
    plan.risks.smallest.value,
    betaEach(plan),
    plan.risks.alpha,
    asksOneWay(plan),
  );
  return listeners === null ? null : { listeners, trials: listeners * trialsPlanned(plan) };
}

/** Plan pages ask for the same again and again. */
const remembered = new Map<string, number | null>();

function listenersFor(...asked: Parameters<typeof soughtListeners>): number | null {
  const key = asked.join(' ');
  if (!remembered.has(key)) {
    if (remembered.size >= 200) remembered.clear();
    remembered.set(key, soughtListeners(...asked));
  }
  return remembered.get(key) ?? null;
}

function soughtListeners(
  each: number,
  chance: number,
  limit: number,
  beta: number,
  alpha: number,
  bothWays: boolean,
): number | null {
  if (each === 1 && !bothWays) {
    return sizesFor(chance + (1 - chance) * limit, beta, 'less', chance, 1 - alpha)?.lasting.trials ?? null;
  }
  // Where even the most that are looked for are far from it, none before them is near.
  const sought = mostSought(each);
  const last = shownBetween([{ listeners: sought, trials: each }], chance, limit, beta, bothWays);
  if (chanceBetween(last, sought * each, chance, 0) < (1 - alpha) / 2) return null;
  let found: number | null = null;
  let [most, mostWrong] = [-1, -1];
  for (let listeners = 1; listeners <= sought; listeners++) {
    if (found !== null && listeners > found * 1.25 + 4) return found;
    const groups = [{ listeners, trials: each }];
    // With a listener more it bears no fewer right answers, so the count is followed from where it was.
    while (fewEnough(most + 1, groups, chance, limit, beta)) most++;
    while (bothWays && fewEnough(mostWrong + 1, groups, 1 - chance, limit, beta)) mostWrong++;
    const trials = listeners * each;
    const shown = between(most < 0 ? null : most, bothWays ? mostWrong : trials, trials);
    if (chanceBetween(shown, trials, chance, 0) < 1 - alpha) found = null;
    else found ??= listeners;
  }
  return null;
}

/** What a study of similarity can show. */
export interface SimilarityFinds {
  /** What one audience is sure to be tested at. */
  beta: number;
  /** Scored trials of one listener over all sittings. */
  trialsEach: number;
  audiences: {
    audience: AudienceId;
    listeners: number;
    trials: number;
    /** The fewest right answers with which similarity is shown: over 0 only where it is asked which one has more. */
    least: number;
    /** The most; null: no count shows it. */
    most: number | null;
    /** Right answers that guessing brings on average. */
    guessed: number;
    /** Chance of showing it where nothing is heard at all. */
    power: number;
    misses: DifferenceDetail['misses'];
  }[];
  /** For 1 − α where nothing is heard; for each audience, since all have the same limit. */
  needed: { trials: number; listeners: number } | null;
}

/**
 * What a planned study of similarity can show, for each audience apart, at the β that is left when another audience shows
 * nothing. Exact, where all listeners hear alike; the risk of a false "similar" is kept however they differ.
 */
export function similarityFinds(plan: Plan, chance: number): SimilarityFinds {
  const limit = plan.risks.smallest.value;
  const beta = betaEach(plan);
  const trialsEach = trialsPlanned(plan);
  const bothWays = asksOneWay(plan);
  return {
    beta,
    trialsEach,
    audiences: plan.audiences.map(({ id, listeners }) => {
      const trials = listeners * trialsEach;
      const shown = shownBetween([{ listeners, trials: trialsEach }], chance, limit, beta, bothWays);
      return {
        audience: id as AudienceId,
        listeners,
        trials,
        least: shown?.least ?? 0,
        most: shown?.most ?? null,
        guessed: trials * chance,
        power: chanceBetween(shown, trials, chance, 0),
        misses: similarityMisses(Array<number>(listeners).fill(trialsEach), chance, limit, beta, bothWays),
      };
    }),
    needed: similarityNeeded(plan, chance),
  };
}
