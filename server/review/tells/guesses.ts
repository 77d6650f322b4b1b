import type { GuessFindings } from '../../../shared/findings-tells';
import { sureness } from '../../../shared/guesses';
import { binomialTest } from '../../../stats/binomial-test';
import { proportionInterval } from '../../../stats/proportion-interval';
import type { Guess } from '../../blinding/guesses';
import type { Told } from '../../blinding/outcomes';
import type { StudyStory } from '../../blinding/story';

const level = 0.95;

/** What listeners thought their last sample was, against luck. The listener is the unit: each was asked once. */
export function guessFigures(
  story: Pick<StudyStory, 'plan' | 'sittings'>,
  guesses: readonly Guess[],
  told: readonly Told[],
): GuessFindings | null {
  const labels = story.plan.closingQuestion?.labels;
  if (!labels) return null;
  const answered = guesses.filter(({ skipped }) => !skipped);
  const named = answered.flatMap((guess) => {
    const prototype = prototypeBehind(guess, told);
    if (guess.choice === null || prototype === null) return [];
    return [{ sure: guess.sure, right: labels[guess.choice]?.prototype === prototype }];
  });
  const right = named.filter((one) => one.right).length;
  const counts = { correct: right, trials: named.length };
  const chance = 1 / labels.length;
  return {
    asked: new Set([...whoFinished(story), ...guesses.map(({ listener }) => listener)]).size,
    answered: answered.length,
    noIdea: answered.filter(({ choice }) => choice === null).length,
    right,
    of: labels.length,
    chance,
    p: named.length === 0 ? null : binomialTest({ ...counts, chance, alternative: 'greater' }).p,
    share:
      named.length === 0
        ? null
        : {
            value: right / named.length,
            ...proportionInterval({ ...counts, level, method: 'clopper-pearson' }),
            level,
          },
    bySure: sureness.map((sure) => {
      const own = named.filter((one) => one.sure === sure);
      return { sure, n: own.length, right: own.filter((one) => one.right).length };
    }),
  };
}

/** What the code was in the sitting that the guess is about. */
function prototypeBehind(guess: Guess, told: readonly Told[]): string | null {
  for (const { sitting, trial, design } of told) {
    const at = sitting.id === guess.sitting && !trial.practice ? trial.codes.indexOf(guess.code) : -1;
    if (at >= 0) return design.presentations[at] ?? null;
  }
  return null;
}

/** Everybody who had all their planned sittings and finished the last. */
function whoFinished({ plan, sittings }: Pick<StudyStory, 'plan' | 'sittings'>): string[] {
  return [...new Set(sittings.map(({ listener }) => listener))].filter((listener) => {
    const own = sittings.filter((sitting) => sitting.listener === listener);
    return own.length >= plan.sessions.count && own.at(-1)?.ended === 'finished';
  });
}
