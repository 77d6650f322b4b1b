import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../../server/review/findings';
import { tellsPart } from '../../../server/review/tells/page';
import type { Plan } from '../../../shared/plan';
import { plain } from '../a-result';
import { gradedMethods, gradedPlan } from '../graded-plan';
import { randomStudy, type Wish } from '../random-study';

const played = (plan: Plan, wish: Wish) => findingsOf(randomStudy(plan, wish).record, { resamples: 100 });
const answersBy = (plan: Plan, wish: Wish, by: string) =>
  played(plan, wish).tells.tests.find((one) => one.of === 'answers' && one.by === by);

test.each(gradedMethods)('%s: every look has words', (method) => {
  const plan = gradedPlan(method, { sessions: 2, audiences: [['home', 3]] });
  const words = JSON.stringify(plain(tellsPart(played(plan, { seed: 4 }), plan)));
  expect(words).not.toMatch(/NaN|undefined|null points|proto-/);
});

describe('the place of hearing', () => {
  test('of one sample at a time it is that in the sitting, and each listener has one', () => {
    const plan = gradedPlan('absolute-rating', { rounds: 3, audiences: [['home', 12]] });
    const calm = answersBy(plan, { seed: 4, truth: { residualSd: 0.5 } }, 'position');
    expect(calm?.n).toBe(12);
    expect(Math.abs(calm?.statistic ?? 9)).toBeLessThan(0.2);
  });

  test('of two that are compared it is which was graded better, whichever it was', () => {
    const plan = gradedPlan('comparison-rating', { rounds: 2, audiences: [['home', 12]] });
    const truth = { residualSd: 0.6, ratings: { comparison: { 'proto-a': 1 } } };
    const calm = answersBy(plan, { seed: 4, truth }, 'position');
    // Every pair stands both ways round, so what they are like leans nobody.
    expect(calm?.statistic).toBeGreaterThan(0.4);
    expect(calm?.statistic).toBeLessThan(0.6);
    const biased = answersBy(plan, { seed: 4, truth: { ...truth, positionBias: 1 } }, 'position');
    expect(Math.abs((biased?.statistic ?? 0.5) - 0.5)).toBeGreaterThan(0.15);
    expect(biased?.p).toBeLessThan(0.01);
  });

  test('of several together it is that in the trial', () => {
    const plan = gradedPlan('several-stimuli', { rounds: 2, audiences: [['home', 12]] });
    const lifted = answersBy(plan, { seed: 4, truth: { residualSd: 0.5, positionBias: 2 } }, 'position');
    expect(lifted?.statistic).toBeLessThan(-0.3);
    expect(lifted?.p).toBeLessThan(0.01);
  });
});
