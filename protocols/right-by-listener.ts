import type { ListenerId } from '../shared/brands';
import type { ListenersOf } from '../shared/findings-listeners';
import { binomialCdf, binomialUpper } from '../stats/binomial';
import { fisherUpper } from '../stats/fisher-exact';
import { holm } from './holm';
import type { Outcome } from './protocol';
import { listenersOf } from './right-counts';

type Own = Omit<ListenersOf<'right'>['listeners'][number], 'listener' | 'known'> & { listener: ListenerId };

/** What somebody who is off is noted as, by the chance of so little or less by guessing, and of so much or more. */
export function noteOf(below: number, above: number): 'the-other-way' | 'at-random' | null {
  if (below <= 0.02) return 'the-other-way';
  return above > 0.05 ? 'at-random' : null;
}

/**
 * Right answers of each listener beside what guessing gives (exact binomial, corrected over listeners by Holm), and notes.
 *
 * Notes are given only where the panel as a whole hears the difference at `alpha`. A listener is off who is right less
 * often than guessing gives, or less often than the others by more than luck gives two alike (Fisher's exact test,
 * one-sided, against the others' answers together), each at half of `alpha` over the family of listeners (Holm): so of
 * panels that hear it alike at most `alpha` have any note. Whoever is off is noted as `the-other-way` where guessing gives
 * so few right in 2 % at most, as when the question was taken the other way round; and as `at-random` where own answers
 * aren't shown to be right more often than by guessing at 5 %.
 *
 * Of panels that hear it alike, or not at all, at most 1.3 % got any note; where each hears it in 50 to 100 % of trials, up
 * to 13.7 %, since whoever hears it seldom may not show it. Who guesses among those who hear it in 80 % got one in 57 to
 * 92 %, who answers the other way round in all but 0.2 % (`node tests/bench/bench.mjs note-errors`).
 *
 * Source: ISO 11132:2021 (discrimination of an assessor; judged by what the panel tells apart), from memory; the rule of
 * notes is ours.
 * @param outcomes of one audience, value 1 where right
 * @param chance of a right answer by guessing
 * @returns listeners by id; panelP: exact binomial over all trials, 1 without any
 */
export function rightByListener(
  outcomes: readonly Outcome[],
  chance: number,
  alpha: number,
): { panelP: number; told: boolean; listeners: Own[] } {
  const counted = listenersOf(outcomes);
  const correct = counted.reduce((sum, one) => sum + one.correct, 0);
  const trials = counted.reduce((sum, one) => sum + one.trials, 0);
  const panelP = binomialUpper(correct, trials, chance);
  const told = trials > 0 && panelP <= alpha;
  const ps = counted.map((one) => binomialUpper(one.correct, one.trials, chance));
  const adjusted = holm(ps);
  const below = counted.map((one) => binomialCdf(one.correct, one.trials, chance));
  const holmBelow = holm(below);
  const fewer = holm(
    counted.map((one) => fisherUpper(correct - one.correct, trials - one.trials, one.correct, one.trials)),
  );
  const noted = (i: number): Own['note'] => {
    const off = told && Math.min(holmBelow[i] as number, fewer[i] as number) <= alpha / 2;
    return off ? noteOf(below[i] as number, ps[i] as number) : null;
  };
  return {
    panelP,
    told,
    listeners: counted.map((one, i) => ({
      ...one,
      guessing: guessingBetween(one.trials, chance),
      p: ps[i] as number,
      pAdjusted: adjusted[i] as number,
      note: noted(i),
    })),
  };
}

/** The counts between which at least 95 of 100 guessers lie, no more than 2.5 of 100 on either side. */
export function guessingBetween(trials: number, chance: number): { lower: number; upper: number } {
  let lower = 0;
  while (binomialCdf(lower, trials, chance) <= 0.025) lower++;
  let upper = trials;
  while (binomialUpper(upper, trials, chance) <= 0.025) upper--;
  return { lower, upper };
}
