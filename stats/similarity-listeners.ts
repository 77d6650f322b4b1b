import { list, number, options, probability, whole } from './check';
import { crossing } from './crossing';
import { StatsError } from './errors';
import { type AnsweredAlike, answeredAlike, differsMostCdf } from './heard-by-some';
import type { ListenerCount } from './replicated-difference';

export interface SimilarityListenersInput {
  listeners: readonly ListenerCount[];
  chance?: number | undefined;
  pd: number;
  beta?: number | undefined;
}

export interface SimilarityListenersResult {
  correct: number;
  trials: number;
  most: number | null;
  p: number;
  upper: number;
}

/** Most listeners, and most answers of all together. */
const mostListeners = 2_000;
const mostInAll = 20_000;
/** A tail that equals beta but for rounding counts as reached, as in `similarityCount`. */
const rounding = 1 + 1e-12;

/**
 * Is it heard by no more than a given share of people, when each answered several times?
 *
 * Use it to show likeness by a panel whose listeners repeat the test. Answers of one listener resemble each other: ten of
 * one say less than one of ten, since a panel may happen to hold few of those who hear it. So right answers are held
 * against the panel that differs most: each listener, with probability pd, hears the difference always, and else guesses
 * throughout; and against panels between that one and one in which all are alike at pd, which are worse only where few
 * listeners answer often. Other panels with as much hearing in them come to so few right answers no oftener, so that the
 * risk of a false "similar" is at most beta however listeners differ. That is searched, not proved
 * (tests/bench/similarity.ts): it holds to within a twentieth of beta for chances 1/2 and 1/3, pd up to 0.5 and up to 40
 * answers each; with pd near 1, or a hundred answers of each of a few, panels go up to half beyond, and where guessing is
 * right one time in ten a little beyond (to 0.235 for a beta of 0.2). With one
 * answer a listener it is the exact test of `similarityCount`. Assumes listeners drawn independently from those whom
 * the verdict is about, and answers independent given the listener.
 *
 * @param input.listeners one entry each, 1 to 2,000: `correct` right answers, from 0 to `trials`, which are at least 1; at
 *   most 20,000 trials in all
 * @param input.chance probability of a right answer by guessing, between 0 and 1, by default 0.5
 * @param input.pd the share from which on it would matter: of trials in which the average listener truly hears it, or of
 *   listeners where each hears it always or never; 0 … 1
 * @param input.beta risk of calling alike what so many hear, between 0 and 1, by default 0.05
 * @returns correct, trials: in all; most: right answers with which the share is shown to be below pd, at the risk beta;
 *   `null` where even none at all is too likely. p: of so few right answers or fewer at pd; ≤ beta just when correct ≤
 *   most. upper: one-sided limit at 1 − beta: the pd at which p is beta;
 *   1 where all were right, 0 where fewer were than guessing lets them be
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data
 *
 * Accuracy: p 1e-11 relative; upper 1e-11; `most` exact, a tail equal to beta but for rounding (1e-12) counts as reached.
 * Source: mixture of a share who hear and the rest who guess: ISO 4120:2021 (its pd); the panel that differs most derived
 * for this file.
 *
 * @example
 * similarityListeners({ listeners: Array(24).fill({ correct: 1, trials: 3 }), chance: 1 / 3, pd: 0.3 })
 * // { correct: 24, trials: 72, most: 28 }
 */
export function similarityListeners(input: SimilarityListenersInput): SimilarityListenersResult {
  options(input, ['listeners', 'chance', 'pd', 'beta']);
  const counts = list(input.listeners, 'listeners', 1, 'listeners', mostListeners).map((row, i) => {
    const at = `listeners.${i}`;
    options(row, ['correct', 'trials'], at);
    const { correct, trials } = row as ListenerCount;
    const own = whole(trials, `${at}.trials`, { min: 1, max: mostInAll });
    return { correct: whole(correct, `${at}.correct`, { min: 0, max: own }), trials: own };
  });
  const chance = probability(input.chance ?? 0.5, 'chance');
  const pd = number(input.pd, 'pd', { min: 0, max: 1 });
  const beta = probability(input.beta ?? 0.05, 'beta');
  const trials = counts.reduce((sum, own) => sum + own.trials, 0);
  if (trials > mostInAll) {
    throw new StatsError('out-of-range', 'listeners', 'have too many trials in all', `at most ${mostInAll}`, trials);
  }
  const correct = counts.reduce((sum, own) => sum + own.correct, 0);
  const groups = answeredAlike(counts.map((own) => own.trials));
  return {
    correct,
    trials,
    most: mostRight(groups, chance, pd, beta),
    p: differsMostCdf(correct, groups, chance, pd),
    upper: upperShare(correct, groups, chance, beta),
  };
}

/** Whether so many right answers are few enough: their tail at `pd` is no more than beta. For trusted callers. */
export const fewEnough = (
  correct: number,
  groups: readonly AnsweredAlike[],
  chance: number,
  pd: number,
  beta: number,
): boolean => differsMostCdf(correct, groups, chance, pd, beta * rounding) <= beta * rounding;

/** The most right answers that are few enough; null where none at all is too many. For trusted callers. */
export function mostRight(groups: readonly AnsweredAlike[], chance: number, pd: number, beta: number): number | null {
  if (!fewEnough(0, groups, chance, pd, beta)) return null;
  let [most, tooMany] = [0, groups.reduce((sum, { listeners, trials }) => sum + listeners * trials, 0)];
  while (tooMany - most > 1) {
    const middle = Math.floor((most + tooMany) / 2);
    if (fewEnough(middle, groups, chance, pd, beta)) most = middle;
    else tooMany = middle;
  }
  return most;
}

/** The share at which so few right answers come with probability beta. For trusted callers. */
export function upperShare(correct: number, groups: readonly AnsweredAlike[], chance: number, beta: number): number {
  const rare = (share: number) => differsMostCdf(correct, groups, chance, share, beta) <= beta;
  if (rare(0)) return 0;
  return rare(1) ? crossing(0, 1, rare) : 1;
}
