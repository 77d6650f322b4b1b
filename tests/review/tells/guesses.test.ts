import { describe, expect, test } from 'vitest';
import { type Guess, guessesOf } from '../../../server/blinding/guesses';
import { findingsOf } from '../../../server/review/findings';
import { guessFigures } from '../../../server/review/tells/guesses';
import type { Plan } from '../../../shared/plan';
import { seededRandom } from '../../../stats/seeded-random';
import { aPlan } from '../../blinding/a-plan';
import { handLines, handPlan, recordOfLines } from '../../blinding/hand-ledger';
import { type SeenStudy, seenStudy } from './seen-study';

const asking = (plan: Plan): Plan => ({
  ...plan,
  closingQuestion: { labels: plan.prototypes.map(({ id }, i) => ({ prototype: id, words: `kind ${i + 1}` })) },
});
const plan = asking(aPlan({ prototypes: 3, units: 2, sessions: 2, audiences: [['home', 20]] }));
const study = seenStudy(plan, { seed: 2 });

/** What was last heard by each listener, and which label is right of it. */
const lasts = (({ told, story }: SeenStudy) =>
  story.joined.flatMap(({ listener }) => {
    const last = told.findLast(({ sitting, trial }) => sitting.listener === listener && !trial.practice);
    const prototype = last?.design.presentations.at(-1);
    const right = plan.closingQuestion?.labels.findIndex((label) => label.prototype === prototype) ?? -1;
    return last ? [{ listener, sitting: last.sitting.id, code: last.trial.codes.at(-1) ?? '', right }] : [];
  }))(study);
const guess = (i: number, choice: number | null, more: Partial<Guess> = {}): Guess => {
  const { right: _, ...at } = lasts[i] as (typeof lasts)[number];
  return { ...at, choice, sure: choice === null ? null : 'guess', skipped: false, ...more };
};
const figures = (guesses: Guess[]) => guessFigures(study.story, guesses, study.told);
const rightOf = (i: number) => lasts[i]?.right ?? 0;
const wrongOf = (i: number) => (rightOf(i) + 1) % 3;

test('everybody was asked once, about the sample that they heard last', () => {
  expect(lasts).toHaveLength(20);
  expect(figures([])).toEqual({
    asked: 20,
    answered: 0,
    noIdea: 0,
    right: 0,
    of: 3,
    chance: 1 / 3,
    p: null,
    share: null,
    bySure: [
      { sure: 'guess', n: 0, right: 0 },
      { sure: 'fairly', n: 0, right: 0 },
      { sure: 'certain', n: 0, right: 0 },
    ],
  });
});

test('by hand: 5 of 6 right of three, one without an idea, one who skipped it', () => {
  const found = figures([
    ...[0, 1, 2].map((i) => guess(i, rightOf(i), { sure: 'certain' })),
    ...[3, 4].map((i) => guess(i, rightOf(i))),
    guess(5, wrongOf(5)),
    guess(6, null),
    guess(7, null, { skipped: true }),
  ]);
  expect(found).toMatchObject({ asked: 20, answered: 7, noIdea: 1, right: 5, of: 3 });
  // 6·(1/3)⁵·(2/3) + (1/3)⁶ = 13/729.
  expect(found?.p).toBeCloseTo(13 / 729, 12);
  // Clopper and Pearson (1934) for 5 of 6 at 95 %; the limits solve the binomial tails.
  const { lower, upper } = found?.share ?? { lower: 0, upper: 0 };
  const atLeast = (p: number) => 6 * p ** 5 * (1 - p) + p ** 6;
  expect(atLeast(lower)).toBeCloseTo(0.025, 9);
  expect(1 - upper ** 6).toBeCloseTo(0.025, 9);
  expect(found?.bySure).toEqual([
    { sure: 'guess', n: 3, right: 2 },
    { sure: 'fairly', n: 0, right: 0 },
    { sure: 'certain', n: 3, right: 3 },
  ]);
});

test('whoever only guesses is right so often that the interval holds luck', () => {
  const random = seededRandom('guesses');
  let left = 0;
  const panels = 200;
  for (let panel = 0; panel < panels; panel++) {
    const { share, chance } = figures(lasts.map((_, i) => guess(i, random.below(3)))) ?? {};
    if (!share || !chance) throw new Error('nobody guessed');
    if (share.lower > chance || share.upper < chance) left++;
  }
  // At most 1 in 20 on average: 10, with a standard deviation of 3.
  expect(left).toBeLessThanOrEqual(19);
  expect(left).toBeLessThan(panels / 10);
});

test('a plan that doesn’t ask has no figures', () => {
  const { closingQuestion: _, ...silent } = plan;
  expect(guessFigures({ ...study.story, plan: silent }, [], study.told)).toBeNull();
});

describe('in the ledger', () => {
  test('answers are read as they were sent', () => {
    const said = { sitting: 'M', listener: 'L1', code: '973', choice: 2, sure: 'fairly', skipped: false };
    const { ledger } = recordOfLines([...handLines(handPlan).slice(0, -1), ['listener:L1', 'guessed', said]]);
    expect(guessesOf(ledger)).toEqual([said]);
    const silent = { ...said, choice: null, sure: null, skipped: true };
    expect(guessesOf(recordOfLines([['listener:L1', 'guessed', silent]]).ledger)).toEqual([silent]);
  });

  test('whoever answers on after having been asked is told of among the first lines', () => {
    const lines = handLines(handPlan);
    const answers = lines.flatMap(([, kind, body], i) =>
      kind === 'answered' && String(body.trial).startsWith('M') && body.trial !== 'MT0' ? [i] : [],
    );
    const notes = (at: number, listener: string) => {
      const said: (typeof lines)[number] = [
        `listener:${listener}`,
        'guessed',
        { sitting: 'M', listener, code: '973', choice: null, sure: null, skipped: true },
      ];
      return findingsOf(recordOfLines([...lines.slice(0, at), said, ...lines.slice(at)])).blind.notes.join();
    };
    const told = '1 listener had been asked which one their last sample was, and then answered on';
    expect(notes(answers.at(-1) ?? 0, 'L1')).toContain(told);
    expect(notes((answers.at(-1) ?? 0) + 1, 'L1')).not.toContain('answered on');
    expect(notes(lines.length - 1, 'L1')).not.toContain('answered on');
  });
});
