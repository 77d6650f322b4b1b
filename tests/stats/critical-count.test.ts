import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { criticalCount } from '../../stats/critical-count';
import { expectClose, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  { trials: number[]; chance: number; alpha: number[]; alternative: 'greater' | 'two-sided' },
  { count: (number | null)[][] }
>;

test.each(references<Case[]>('critical-count'))('$id: $source', ({ inputs, expected }) => {
  const { trials, chance, alpha, alternative } = inputs;
  const got = trials.map((n) => alpha.map((a) => criticalCount({ trials: n, chance, alpha: a, alternative }).count));
  expect(got).toEqual(expected.count);
});

test.each([1 / 2, 1 / 3, 1 / 10, 0.8])(
  'at chance %s the count is significant and the one before it is not',
  (chance) => {
    for (let trials = 1; trials <= 40; trials++) {
      for (const alternative of ['greater', 'less', 'two-sided'] as const) {
        const alpha = 0.05;
        const { count, attainedAlpha } = criticalCount({ trials, chance, alpha, alternative });
        const p = (correct: number) => binomialTest({ correct, trials, chance, alternative }).p;
        const all = Array.from({ length: trials + 1 }, (_, k) => k);
        const significant = all.filter((k) => p(k) <= alpha * (1 + 1e-12));
        const onSide = significant.filter((k) => alternative !== 'two-sided' || k > trials * chance);
        const edge = alternative === 'less' ? Math.max(...onSide) : Math.min(...onSide);
        expect(count).toBe(onSide.length === 0 ? null : edge);
        const exactly = (k: number) => binomialTest({ correct: k, trials, chance, alternative: 'greater' }).p;
        const attained = significant.reduce((sum, k) => sum + exactly(k) - (k < trials ? exactly(k + 1) : 0), 0);
        expectClose(attainedAlpha, attained, { relative: 1e-9, absolute: 1e-12 }, `${trials} ${alternative}`);
        expect(attainedAlpha).toBeLessThanOrEqual(alpha * (1 + 1e-12));
      }
    }
  },
);

test('a tail that equals alpha but for rounding is reached', () => {
  expect(criticalCount({ trials: 7, alpha: 2 ** -7 })).toEqual({ count: 7, attainedAlpha: 2 ** -7 });
  expect(criticalCount({ trials: 2, chance: 0.1, alpha: 0.01 }).count).toBe(2);
});

test('where nothing is significant, it says so', () => {
  expect(criticalCount({ trials: 4 })).toEqual({ count: null, attainedAlpha: 0 });
});
