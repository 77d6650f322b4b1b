import { comparedIn } from '../../../protocols/controls';
import type { Outcome } from '../../../protocols/protocol';
import { type BlockedRow, withinBlocks } from '../../../protocols/within-blocks';
import type { TellTest } from '../../../shared/findings-tells';
import { codesLast } from '../../../shared/plan';
import { signFlip } from '../../../stats/sign-flip';
import type { handlingOf } from '../../blinding/handling';
import type { Told } from '../../blinding/outcomes';
import type { StudyStory } from '../../blinding/story';
import { type AnswersSeen, answersSeen } from './answers';

/**
 * Whether anything went with what nobody should have known: how long hand-overs and fitting took, and how often it was
 * put in again, by prototype; and answers by what can't matter if nothing tells. Exploratory, and of the study as a whole.
 * @param codesGiven the codes are those that samples bore; others can't have told anything
 */
export function tellTests(
  story: StudyStory,
  handling: ReturnType<typeof handlingOf>,
  told: readonly Told[],
  outcomes: readonly Outcome[],
  codesGiven = true,
): TellTest[] {
  const answers = answersSeen(story, handling.handOvers, told, outcomes);
  return [...handlingTests(handling, told, story), ...answerTests(answers, story, codesGiven)];
}

type Of = TellTest['of'];
type By = TellTest['by'];

const none = (of: Of, by: By, reason: NonNullable<TellTest['reason']> = 'nothing-to-compare'): TellTest => ({
  of,
  by,
  n: 0,
  statistic: null,
  p: null,
  permutations: 0,
  couldFind: false,
  reason,
  detail: [],
});

function handlingTests(
  { handOvers, fits }: ReturnType<typeof handlingOf>,
  told: readonly Told[],
  { plan }: StudyStory,
): TellTest[] {
  // The sample of a known difference is meant to be told, and compared with nothing.
  const compared = new Set<string>(comparedIn(plan).map(({ id }) => id));
  const known = new Map<string, Told>(told.map((one) => [one.trial.id, one]));
  /** Practice is another thing: the level is set, the desk warms up. */
  const about = (one: { trial: string; presentation: number }) => {
    const found = known.get(one.trial);
    const group = found?.design.presentations[one.presentation - 1];
    return found && group && compared.has(group) && !found.trial.practice ? { sitting: found.sitting.id, group } : null;
  };
  // The first sample of a trial takes another way than the others: it comes after an answer, in a hand of its own.
  const waits = handOvers.flatMap((one): BlockedRow[] => {
    const found = about(one);
    if (!found || one.waitedMs === null) return [];
    return [{ block: `${found.sitting} ${one.presentation}`, group: found.group, value: one.waitedMs }];
  });
  const fitted = fits.flatMap((one) => {
    const found = about(one);
    return found ? [{ ...one, block: found.sitting as string, group: found.group as string }] : [];
  });
  const times = fitted.flatMap(({ fittingMs, ...row }) => (fittingMs === null ? [] : [{ ...row, value: fittingMs }]));
  const retries = fitted.map(({ retries: value, ...row }) => ({ ...row, value }));
  return [
    grouped('hand-over-time', 'prototype', waits, median),
    grouped('fitting-time', 'prototype', times, median),
    grouped('seal-retries', 'prototype', retries, mean),
  ];
}

function grouped(of: Of, by: By, rows: readonly BlockedRow[], middle: (values: number[]) => number): TellTest {
  const tested = withinBlocks(rows, `${of} by ${by}`);
  if (!tested) return none(of, by);
  const groups = [...new Set(rows.map(({ group }) => group))].sort();
  return {
    of,
    by,
    ...tested,
    reason: null,
    detail: groups.map((group) => {
      const own = rows.filter((row) => row.group === group).map(({ value }) => value);
      return { group, n: own.length, value: middle(own) };
    }),
  };
}

function answerTests(answers: AnswersSeen, { plan }: StudyStory, codesGiven: boolean): TellTest[] {
  const { byPlace, byCode, byOperator, operators, byHour } = answers;
  return [
    leaning('position', byPlace, 'first'),
    // A code that stays with its sample for the day goes with whatever that is liked for.
    !codesGiven
      ? none('answers', 'code-number')
      : codesLast(plan)
        ? none('answers', 'code-number', 'codes-stay')
        : leaning('code-number', byCode, 'higher'),
    operators < 2 ? none('answers', 'operator', 'one-operator') : grouped('answers', 'operator', byOperator, mean),
    typeof byHour === 'string' ? none('answers', 'hour', byHour) : leaning('hour', byHour, ''),
  ];
}

/** Up to so many listeners every pattern of signs is counted whatever the figures; beyond, patterns are drawn. */
const counted = 14;
/** Below so many, even full agreement can't be told from chance at 0.01: two patterns in 128. */
const fewest = 8;

/** Whether listeners lean one way, each counting once. */
function leaning(by: By, { perListener, statistic, n }: AnswersSeen['byPlace'], group: string): TellTest {
  if (perListener.length === 0 || statistic === null) return none('answers', by);
  const drawn = perListener.length > counted ? 9_999 : null;
  const { p } = signFlip({ perListener, seed: `answers by ${by}`, ...(drawn ? { permutations: drawn } : {}) });
  return {
    of: 'answers',
    by,
    n: perListener.length,
    statistic,
    p,
    permutations: drawn,
    couldFind: perListener.length >= fewest,
    reason: null,
    detail: group !== '' && n !== null ? [{ group, n, value: statistic }] : [],
  };
}

const mean = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0) / values.length;

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = Math.floor(sorted.length / 2);
  const upper = sorted[half] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? 0) + upper) / 2;
}
