import { describe, expect, test } from 'vitest';
import { assumedFor, powerOfMeans, sizeOfMeans } from '../../server/plan/assumed-ratings';
import { findsOf } from '../../server/plan/finds';
import { aPlan, type PlanWish } from '../blinding/a-plan';

/** Where a trial has some samples only, a listener says less of two of them than one who rates all. */
describe('what a listener is worth in incomplete blocks', () => {
  const planOf = (prototypes: number, size: number, trials = 1, more: PlanWish = {}) =>
    aPlan({ method: 'several-stimuli', scales: ['liking'], prototypes, size, trials, ...more });
  const worthOf = (...asked: Parameters<typeof planOf>) => assumedFor(planOf(...asked)).worth;

  test('all samples in a trial: one', () => {
    expect(worthOf(4, 4, 2)).toBe(1);
    expect(assumedFor(aPlan({ method: 'absolute-rating', rounds: 2 })).worth).toBe(1);
  });

  test('three of four: half of the listeners rate both, and those compare them', () => {
    // Of 4 blocks of the design λ = 2 hold both.
    expect(worthOf(4, 3)).toBeCloseTo(1 / 2, 12);
  });

  test('two of four: one in six rates both, so that it goes by way of the others, with efficiency 2/3', () => {
    // r = 1/2 of the listeners rate each; n(k − 1)/((n − 1)k) = 4/6.
    expect(worthOf(4, 2)).toBeCloseTo((1 / 2) * (2 / 3), 12);
  });

  test('the more trials, the more rate both, and never more than one', () => {
    const worths = [1, 2, 4, 12].map((trials) => worthOf(4, 2, trials));
    expect(worths.toSorted((a, b) => a - b)).toEqual(worths);
    expect(worths.at(-1)).toBeGreaterThan(0.9);
    expect(worths.at(-1)).toBeLessThanOrEqual(1);
    expect(worthOf(4, 3, 1, { sessions: 2 })).toBe(worthOf(4, 3, 2));
  });

  test('it is said, and only there', () => {
    expect(findsOf(planOf(4, 3)).assumption).toContain('reckoned as 50\u00a0% of it who rate both of two');
    expect(findsOf(planOf(4, 4)).assumption).not.toContain('who rate both of two');
  });

  test('power and size of blocks are those of fewer listeners who rate both once', () => {
    const [blocks, whole] = [assumedFor(planOf(4, 3)), assumedFor(planOf(4, 4))];
    expect(blocks.differenceSd).toBeCloseTo(whole.differenceSd, 12);
    expect(powerOfMeans(blocks, 24, 1.2, 0.05)).toBe(powerOfMeans(whole, 12, 1.2, 0.05));
    expect(sizeOfMeans(blocks, 1.2, 0.05, 0.2)).toBe(2 * (sizeOfMeans(whole, 1.2, 0.05, 0.2) ?? 0));
  });
});

test('that post-screening isn’t reckoned with is said where a plan has it', () => {
  const planOf = (screening: boolean) => aPlan({ method: 'small-impairments', rounds: 4, screening });
  expect(findsOf(planOf(true)).assumption).toContain('whom the rule leaves out will be missing');
  expect(findsOf(planOf(false)).assumption).not.toContain('leaves out');
});
