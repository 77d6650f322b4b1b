import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../protocols/protocol';
import { figureMeasure, repeatsOf, sittingFigures } from '../../protocols/sitting-figures';
import type { ListenerId, PrototypeId, TrialId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { saidYesNo } from './answered-yes-no';
import { graded } from './graded';
import { ranked } from './ranked';
import { rated } from './rated';
import { matched, said } from './simulated-study';

/** By sitting: sitting, value. */
const figures = (outcomes: readonly Outcome[], plan: Plan) =>
  sittingFigures(outcomes, plan).map(({ sitting, value }) => [sitting, Number(value.toFixed(12))]);

/** The same answers in that sitting. */
const inSitting = (outcomes: readonly Outcome[], sitting: number): Outcome[] =>
  outcomes.map((one) => ({ ...one, sittingNumber: sitting, trial: `${one.trial} ${sitting}` as TrialId }));

describe('one figure for each listener and sitting, in the measure of the verdict', () => {
  test('the share of right answers', () => {
    expect(figures(matched('L1', '++-+ -- +'), aPlan({ method: 'abx' }))).toEqual([
      [1, 0.75],
      [2, 0],
      [3, 1],
    ]);
  });

  test('the share of choices for the first of the primary pair; other pairs are another matter', () => {
    const plan = aPlan({ prototypes: 3 });
    const outcomes = [...said('L1', 'ab+ ba+ ab0 bc+'), ...inSitting(said('L1', 'ba- cb+'), 2)];
    expect(figures(outcomes, plan)).toEqual([
      [1, 0.5],
      [2, 1],
    ]);
    // Left out instead of split, “no preference” says nothing: 1 of 2 as well, and none where it is all that was said.
    const drop: Plan = { ...plan, noPreference: { offered: true, rule: 'drop' } };
    expect(figures([...said('L1', 'ab+ ab0'), ...inSitting(said('L1', 'ab0'), 2)], drop)).toEqual([[1, 1]]);
  });

  test('hits less false alarms; a sitting with one kind of trials says nothing', () => {
    const plan = aPlan({ method: 'same-different' });
    expect(figures(saidYesNo(plan, 'L1', 'YYYNnnny YY'), plan)).toEqual([[1, 0.5]]);
  });

  test('the share of rankings with the first ahead', () => {
    const plan = aPlan({ method: 'ranking', prototypes: 3 });
    expect(figures([...ranked('L1', 'abc bac acb cab'), ...inSitting(ranked('L1', 'bca'), 2)], plan)).toEqual([
      [1, 0.75],
      [2, 0],
    ]);
  });

  test('the difference of the pair in points; a sitting without one of the two says nothing', () => {
    const plan = aPlan({ method: 'first-impressions', scales: ['liking'] });
    expect(figures(rated('L1', 'a3 b1 a1 | a2 | b3 a1'), plan)).toEqual([
      [1, 1],
      [3, -2],
    ]);
  });

  test('difference grades: the reference is where they are counted from', () => {
    const plan = aPlan({ method: 'small-impairments' });
    const reference = (plan.method.spec as { reference: string }).reference;
    const other = plan.prototypes.find(({ id }) => id !== reference)?.id.slice(-1);
    const words = `${reference.slice(-1)}50 ${other}42`;
    const scale = plan.primary.scale ?? '';
    const [[, value] = []] = figures(graded('L1', words, { scale, open: reference.slice(-1) }), plan);
    expect(Math.abs(value as number)).toBe(8);
  });

  test('comparisons: each order its own mean, so that what order does falls out', () => {
    const plan = aPlan({ method: 'comparison-rating' });
    const compared = (pair: string, value: number, i: number): Outcome => ({
      ...(rated('L1', 'a0')[0] as Outcome),
      scale: plan.primary.scale ?? null,
      trial: `t${i}` as TrialId,
      prototypes: [...pair].map((letter) => `proto-${letter}` as PrototypeId),
      value,
    });
    // The second beside the first: a after b by 2 and 0, b after a by −1. So a is better by (1 + 1)/2.
    expect(figures([compared('ba', 2, 1), compared('ba', 0, 2), compared('ab', -1, 3)], plan)).toEqual([[1, 1]]);
    expect(figures([compared('ab', -1, 1)], plan)).toEqual([[1, 1]]);
  });

  test('how much oftener the word was ticked', () => {
    const plan = aPlan({ method: 'check-all', prototypes: 2 });
    const scale = plan.primary.scale ?? '';
    expect(figures([...rated('L1', 'a1 b0 | a0 b0 | a0 b1', 'home', scale)], plan)).toEqual([
      [1, 1],
      [2, 0],
      [3, -1],
    ]);
  });
});

describe('the smallest difference worth finding, in that measure', () => {
  const measure = (plan: Plan) => {
    const { of, neutral, margin } = figureMeasure(plan);
    return [of, Number(neutral.toFixed(6)), Number(margin.toFixed(6))];
  };
  const risks = (plan: Plan, smallest: Plan['risks']['smallest']): Plan => ({
    ...plan,
    risks: { ...plan.risks, smallest },
  });
  test.each([
    ['a share, from one half', risks(aPlan({}), { kind: 'share', value: 0.75 }), ['share', 0.5, 0.25]],
    [
      'heard in 30 % of trials of a triangle',
      risks(aPlan({ method: 'triangle' }), { kind: 'heard', value: 0.3 }),
      ['correct', 0.333333, 0.2],
    ],
    ['points', risks(aPlan({ method: 'absolute-rating' }), { kind: 'points', value: 0.7 }), ['points', 0, 0.7]],
    // 2Φ(½) − 1, Φ(0.5) = 0.691462 (Abramowitz & Stegun 1972, table 26.1; from memory).
    [
      'd′ of 1 with one sample',
      risks(aPlan({ method: 'a-not-a' }), { kind: 'd-prime', value: 1 }),
      ['apart', 0, 0.382925],
    ],
    ['ticked', risks(aPlan({ method: 'check-all' }), { kind: 'ticked', value: 0.3 }), ['ticked', 0, 0.3]],
  ] as [string, Plan, unknown[]][])('%s', (_what, plan, expected) => {
    expect(measure(plan)).toEqual(expected);
  });
});

test('how often the samples had been heard by the end of a sitting, and the marks of it', () => {
  const plan = aPlan({ method: 'first-impressions', scales: ['liking'] });
  const outcomes = rated('L1', 'a3 b1 a2 | a1 b1').map((one, i) => ({
    ...one,
    exposure: [1, 1, 2, 3, 6][i] ?? 0,
    flags: i === 3 ? ['marked'] : [],
  }));
  expect(sittingFigures(outcomes, plan).map(({ heard, flags }) => [heard, flags])).toEqual([
    [1.5, []],
    [4.5, ['marked']],
  ]);
  // Several samples in a trial: their hearings stand together, and are shared out.
  const abx = matched('L1', '+++').map((one, i) => ({ ...one, exposure: 3 * (i + 1) }));
  expect(sittingFigures(abx, aPlan({ method: 'abx' })).map(({ heard }) => heard)).toEqual([3]);
});

test('single answers about the same thing, in values of the measure', () => {
  const values = (outcomes: readonly Outcome[], plan: Plan) =>
    repeatsOf(outcomes, plan).map(({ thing, value }) => [thing, value]);
  expect(values(matched('L1', '+-'), aPlan({ method: 'abx' }))).toEqual([
    ['', 1],
    ['', 0],
  ]);
  const yesNo = aPlan({ method: 'same-different' });
  expect(values(saidYesNo(yesNo, 'L1', 'Yn'), yesNo)).toEqual([
    ['signal', 1],
    ['noise', 1],
  ]);
  expect(values(said('L1', 'ab+ ba+ ab0 bc+'), aPlan({ prototypes: 3 }))).toEqual([
    ['', 1],
    ['', 0],
    ['', 0.5],
  ]);
  expect(values(ranked('L1', 'abc bca'), aPlan({ method: 'ranking', prototypes: 3 }))).toEqual([
    ['', 1],
    ['', 0],
  ]);
  const impressions = aPlan({ method: 'first-impressions', scales: ['liking'] });
  expect(values(rated('L1' as ListenerId, 'a3 b1'), impressions)).toEqual([
    ['proto-a', 3],
    ['proto-b', 1],
  ]);
});
