import type { Form } from '../../../protocols/form';
import { methodOf } from '../../../protocols/index';
import type { Findings } from '../../../shared/findings';
import type { GuessFindings, TellTest } from '../../../shared/findings-tells';
import type { Plan } from '../../../shared/plan';
import { words } from '../../../shared/words/en';
import { decimals, percent, percentBeside } from '../../number-words';
import { about, pWords } from '../figures';
import { nameIn } from '../plan-names';
import { askedIn } from '../shown-scale';
import { comparesTwo } from './named';

/** How blind it was in the end, in plain words. */
export interface TellsPart {
  /** What listeners thought they had; null where the plan didn't ask. */
  guesses: { sentence: string; meaning: string; bySure: { sure: string; right: string }[] } | null;
  summary: string;
  rows: { what: string; found: string; p: string; sign: boolean }[];
  note: string;
}

/** Looked at many times over, so that only what is plain counts. */
const plain = 0.01;

const isSign = ({ p, couldFind }: TellTest): boolean => p !== null && couldFind && p < plain;

export function tellsPart({ tells }: Pick<Findings, 'tells'>, plan: Plan): TellsPart {
  const tested = tells.tests.filter(({ p }) => p !== null);
  const signs = tested.filter(isSign);
  return {
    guesses: tells.guesses && guessWords(tells.guesses),
    summary:
      signs.length > 0
        ? `${signs.length === 1 ? 'One' : signs.length} at p < ${plain}: ${signs.map((one) => adviceOn(one, plan)).join(' ')}`
        : tested.some(({ couldFind }) => couldFind)
          ? `None at p < ${plain}.`
          : 'None, but so little was done that hardly anything could have shown.',
    rows: tells.tests.map((one) => ({
      what: whatOf(one, plan),
      found: foundIn(one, plan),
      p: pWords(one.p),
      sign: isSign(one),
    })),
    note: `${tested.length === 1 ? 'One look' : `${tested.length} looks`}, each of which comes out so by chance in one study of a hundred. Times by the server’s clock, practice left out. They describe, and change no verdict.`,
  };
}

/** What belongs on top of the letter: that listeners knew more than luck explains, and what went with a sample. */
export function tellCautions({ tells }: Pick<Findings, 'tells'>, plan: Plan): string[] {
  const { guesses } = tells;
  const knew = guesses && beyondLuck(guesses) !== 0 ? [`${guessedWords(guesses)} ${guessMeaning(guesses)}`] : [];
  return [...knew, ...tells.tests.filter(isSign).map((one) => `${adviceOn(one, plan)} (p ${pWords(one.p)})`)];
}

/** 1: more were right than luck explains; −1: fewer; 0: the interval covers luck. */
function beyondLuck({ share, chance }: GuessFindings): -1 | 0 | 1 {
  if (share === null) return 0;
  return share.lower > chance ? 1 : share.upper < chance ? -1 : 0;
}

function guessWords(guesses: GuessFindings): NonNullable<TellsPart['guesses']> {
  const { asked, answered, noIdea, bySure } = guesses;
  const silent = asked - answered;
  const others = [
    ...(noIdea > 0 ? [`${noIdea} had no idea`] : []),
    ...(silent > 0 ? [`${silent} didn’t say`] : []),
  ].join(', ');
  return {
    sentence: `${guessedWords(guesses)}${others ? ` ${others}.` : ''}`,
    meaning: guessMeaning(guesses),
    bySure: bySure
      .filter(({ n }) => n > 0)
      .map(({ sure, n, right }) => ({ sure: words[`guessing.sure.${sure}`], right: `${right} of ${n} right` })),
  };
}

function guessedWords({ share, answered, noIdea, right, chance }: GuessFindings): string {
  const named = answered - noIdea;
  if (share === null) return 'Nobody said which one they thought their last sample was.';
  return `${right} of ${named} guessed right which one their last sample was; by luck it would be ${about(named * chance)} (${percent(chance)}).`;
}

function guessMeaning(guesses: GuessFindings): string {
  const { share, p, chance } = guesses;
  if (share === null) return '';
  const at = (value: number) => percentBeside(value, [chance]);
  const figures = `${at(share.value)}, 95 % interval ${at(share.lower)} to ${at(share.upper)}, p ${pWords(p)}`;
  const meaning = {
    0: 'Luck explains that: no sign that they knew.',
    1: 'Luck doesn’t explain that: they knew something, by ear or by a tell. Read the verdict with that in mind.',
    '-1': 'That is fewer than luck explains: perhaps the words were misread.',
  }[beyondLuck(guesses)];
  return `${meaning} (${figures}.)`;
}

function whatOf({ of, by }: TellTest, plan: Plan): string {
  if (of !== 'answers') {
    return {
      'hand-over-time': 'Wait for a hand-over, by prototype',
      'fitting-time': 'Time to fit, by prototype',
      'seal-retries': 'Put in again before it sealed, by prototype',
    }[of];
  }
  const { protocol, form } = methodOf(plan);
  const rated =
    protocol.family === 'rating' && !comparesTwo(form)
      ? `Ratings on ${askedIn(plan, plan.primary.scale ?? '').name}`
      : protocol.family === 'ranking'
        ? 'Ranks'
        : null;
  const answers = rated ?? 'Answers';
  return {
    prototype: answers,
    position: rated
      ? `${rated}, by place in the ${protocol.family === 'ranking' ? 'ranking' : form.presentations > 1 ? 'trial' : 'sitting'}`
      : placeWords(form),
    'code-number': rated ? `${rated}, by the number of the code` : codeWords(form),
    operator: `${answers}, by who handed over`,
    hour: `${answers}, by hour of day`,
  }[by];
}

/** What is looked at where answers name samples by place or code. */
function placeWords(form: Form): string {
  if (form.kind === 'pick-group') {
    return form.bothGroups
      ? 'Putting the first with the second, rather than with the last'
      : 'Picking the sample heard first, rather than the last';
  }
  if (comparesTwo(form)) return 'Grading the sample heard first better';
  if (form.kind !== 'pick-one') return 'Answers, by place';
  if (form.question === 'question.prefer') return 'Choosing the sample heard first';
  if (form.choices[0] !== 0) return 'Naming the sample heard earlier';
  return `Naming the sample heard first${form.choices.length > 2 ? ', rather than the last' : ''}`;
}

function codeWords(form: Form): string {
  if (comparesTwo(form)) return 'Grading the higher code better';
  if (form.kind === 'pick-one' && form.question === 'question.prefer') return 'Choosing the higher code';
  return form.kind === 'pick-one' && form.choices.length === 2
    ? 'Naming the higher code'
    : 'Naming the highest code, rather than the lowest';
}

function foundIn(test: TellTest, plan: Plan): string {
  const few = test.couldFind ? '' : '; too few to show anything';
  switch (test.reason) {
    case 'codes-stay':
      return 'Not tested: codes stay with their samples for the day';
    case 'one-operator':
      return 'One person handed over';
    case 'one-session':
      return 'One session only';
    case 'same-hours':
      return 'All sessions began at about the same hour';
    case 'nothing-to-compare':
      return 'Nothing to compare';
    default:
      return `${figuresOf(test, plan)}${few}`;
  }
}

function figuresOf(test: TellTest, plan: Plan): string {
  const { of, by, detail, statistic, n } = test;
  if (of !== 'answers') {
    return detail.map(({ group, value }) => `${nameIn(plan)(group)} ${middle(of, value)}`).join('\u00a0· ');
  }
  const { family } = methodOf(plan).protocol;
  const units = family === 'ranking' ? 'ranks' : 'points';
  const [one] = detail;
  if (by === 'position' || by === 'code-number') {
    if (one) return `${percent(one.value)} of ${one.n}`;
    return by === 'position'
      ? `${signed(statistic)} ${units} a place`
      : `${signed(statistic && statistic * 100)} ${units} for a number higher by 100`;
  }
  if (by === 'operator') {
    if (family === 'preference') return `${n} answers`;
    const figure = (value: number) => (family === 'difference' ? `${percent(value)} right` : decimals(value));
    return detail.map(({ group, value }) => `${group} ${figure(value)}`).join('\u00a0· ');
  }
  return family === 'rating' || family === 'ranking' ? `${signed(statistic)} ${units} an hour` : `${n} listeners`;
}

const middle = (of: TellTest['of'], value: number): string =>
  of === 'seal-retries' ? decimals(value) : `${decimals(value / 1000, 1)}\u00a0s`;

const signed = (value: number | null): string => `${(value ?? 0) > 0 ? '+' : ''}${decimals(value ?? 0)}`;

/** What was found, and where to look for it. */
function adviceOn(test: TellTest, plan: Plan): string {
  if (test.of !== 'answers') return handlingAdvice(test, plan);
  switch (test.by) {
    case 'position':
      return 'Answers go with the order of hearing. Order is balanced, so it leans no verdict, but it hides small differences.';
    case 'code-number':
      return 'Answers go with the numbers of the codes: look at how carriers lie, and how codes are called out.';
    case 'operator':
      return 'Answers differ by who handed over: look at what is said and shown at the seat.';
    default:
      return 'Answers go with the hour of day: look at rest, and at noise in the room.';
  }
}

function handlingAdvice({ of, detail }: TellTest, plan: Plan): string {
  const [odd, others] = farthest(detail);
  const name = nameIn(plan)(odd.group);
  const beside = `${middle(of, odd.value)}, others ${middle(of, others)}`;
  const more = odd.value > others;
  switch (of) {
    case 'hand-over-time':
      return `Hand-overs of ${name} took ${more ? 'longer' : 'less time'} (${beside}): look at how its carriers are loaded, and whether its units were waited for.`;
    case 'fitting-time':
      return `Fitting ${name} took ${more ? 'longer' : 'less time'} (${beside}): listeners may feel which it is. Look at nozzle, tips and weight.`;
    default:
      return `${name} had to be put in again ${more ? 'more' : 'less'} often (${beside} times): look at its nozzle and tips.`;
  }
}

type Group = TellTest['detail'][number];

/** The group that lies farthest from the mean of the others, and that mean; of two that do, the larger one. */
function farthest(detail: readonly Group[]): [odd: Group, others: number] {
  const rising = [...detail].sort((a, b) => a.value - b.value);
  const apart = rising.map((one): [Group, number] => {
    const others = detail.filter((other) => other !== one);
    return [one, others.reduce((sum, { value }) => sum + value, 0) / Math.max(1, others.length)];
  });
  const distance = ([one, others]: [Group, number]) => Math.abs(one.value - others);
  return apart.reduce(
    (most, one) => (distance(one) >= distance(most) ? one : most),
    apart[0] ?? [{ group: '', n: 0, value: 0 }, 0],
  );
}
