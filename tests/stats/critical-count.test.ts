import fc from 'fast-check';
import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { criticalCount } from '../../stats/critical-count';
import { RejectionRegion } from '../../stats/rejection-region';
import { expectClose, expectRefused, type ReferenceCase, references, type Tolerance } from './support';

type Case = ReferenceCase<
  { trials: number[]; chance: number; alpha: number[]; alternative: 'greater' | 'two-sided' },
  { count: (number | null)[][] }
>;

test.each(references<Case[]>('critical-count'))('$id: $source', ({ inputs, expected }) => {
  const { trials, chance, alpha, alternative } = inputs;
  const got = trials.map((n) => alpha.map((a) => criticalCount({ trials: n, chance, alpha: a, alternative }).count));
  expect(got).toEqual(expected.count);
});

const large = references<{
  tolerance: Tolerance;
  critical: { trials: number; chance: number; alpha: number; count: number; attainedAlpha: number }[];
}>('binomial');

test.each(large.critical)('$trials trials at chance $chance, alpha $alpha, in 40 digits', (known) => {
  const { trials, chance, alpha } = known;
  const { count, attainedAlpha } = criticalCount({ trials, chance, alpha });
  expect(count).toBe(known.count);
  expectClose(attainedAlpha, known.attainedAlpha, large.tolerance, 'attained');
});

const sides = ['greater', 'less', 'two-sided'] as const;

test.each([1 / 2, 1 / 3, 1 / 10, 0.8])(
  'at chance %s the count is significant and the one before it is not',
  (chance) => {
    for (let trials = 1; trials <= 40; trials++) {
      for (const alternative of sides) {
        for (const alpha of [0.05, 0.3]) {
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
    }
  },
);

const inputs = fc.record({
  trials: fc.integer({ min: 1, max: 2000 }),
  chance: fc.oneof(fc.constantFrom(1 / 2, 1 / 3, 1 / 10), fc.double({ min: 1e-4, max: 0.9999, noNaN: true })),
  alpha: fc.oneof(fc.constantFrom(0.05, 0.001), fc.double({ min: 1e-12, max: 0.999, noNaN: true })),
});

test('a smaller alpha asks for more, fewer is more mirrored, and two sides at one half are twice half of alpha', () => {
  fc.assert(
    fc.property(inputs, ({ trials, chance, alpha }) => {
      const number = (count: number | null) => count ?? Number.POSITIVE_INFINITY;
      const { count, attainedAlpha } = criticalCount({ trials, chance, alpha });
      expect(number(criticalCount({ trials, chance, alpha: alpha / 3 }).count)).toBeGreaterThanOrEqual(number(count));
      const mirrored = criticalCount({ trials, chance: 1 - chance, alpha, alternative: 'less' });
      expect(mirrored.count).toBe(count === null ? null : trials - count);
      expectClose(mirrored.attainedAlpha, attainedAlpha, { relative: 1e-9, absolute: 1e-300 }, 'mirrored');
      const half = criticalCount({ trials, alpha: alpha / 2 });
      const both = criticalCount({ trials, alpha, alternative: 'two-sided' });
      expect(both.count).toBe(half.count);
      expectClose(both.attainedAlpha, 2 * half.attainedAlpha, { relative: 1e-12, absolute: 0 }, 'both sides');
    }),
    { seed: 41, numRuns: 300 },
  );
});

test('a region that grew trial by trial is the region of so many trials', () => {
  for (const alternative of sides) {
    for (const chance of [0.5, 1 / 3, 0.1, 0.97, 1e-3]) {
      for (const alpha of [0.05, 1e-9, 0.6]) {
        const grown = new RejectionRegion(1, chance, alpha, alternative);
        for (let trials = 1; trials <= 150; trials++) {
          if (trials > 1) grown.addTrial();
          const region = new RejectionRegion(trials, chance, alpha, alternative);
          const counts = ({ upper, lower, count }: RejectionRegion) => [upper?.count, lower?.count, count];
          expect(counts(grown), `${alternative} ${chance} ${alpha} ${trials}`).toEqual(counts(region));
          expectClose(grown.attained, region.attained, { relative: 1e-11, absolute: 0 }, `${trials}`);
        }
      }
    }
  }
});

test('a tail that equals alpha but for rounding is reached', () => {
  expect(criticalCount({ trials: 7, alpha: 2 ** -7 })).toEqual({ count: 7, attainedAlpha: 2 ** -7 });
  expect(criticalCount({ trials: 7, alpha: 2 ** -6, alternative: 'two-sided' })).toEqual({
    count: 7,
    attainedAlpha: 2 ** -6,
  });
  expect(criticalCount({ trials: 2, chance: 0.1, alpha: 0.01 }).count).toBe(2);
});

test('where nothing is significant, it says so', () => {
  for (const alternative of sides) {
    expect(criticalCount({ trials: 4, alternative })).toEqual({ count: null, attainedAlpha: 0 });
  }
  // Nine of ten right by guessing: too many can't be, too few can.
  const few = criticalCount({ trials: 10, chance: 0.9, alternative: 'two-sided' });
  expect(few.count).toBeNull();
  expectClose(few.attainedAlpha, 0.0127951984, { relative: 1e-12, absolute: 0 }, 'P(X ≤ 6), in full');
});

test('at an alpha of 1e-200 and with ten million trials', () => {
  const { count, attainedAlpha } = criticalCount({ trials: 1000, alpha: 1e-200 });
  expect(attainedAlpha).toBeLessThanOrEqual(1e-200);
  expect(binomialTest({ correct: (count as number) - 1, trials: 1000 }).p).toBeGreaterThan(1e-200);
  expect(criticalCount({ trials: 1e7, chance: 1 / 3 }).attainedAlpha).toBeGreaterThan(0.0499);
});

test('bad input', () => {
  expectRefused(() => criticalCount({ trials: 0 }), 'out-of-range', 'trials');
  expectRefused(() => criticalCount({ trials: 12.5 }), 'wrong-type', 'trials');
  expectRefused(() => criticalCount({ trials: 12, chance: 1 }), 'out-of-range', 'chance');
  expectRefused(() => criticalCount({ trials: 12, alpha: 0 }), 'out-of-range', 'alpha');
  expectRefused(() => criticalCount({ trials: 12, alpha: Number.NaN }), 'wrong-type', 'alpha');
  // @ts-expect-error no such side
  expectRefused(() => criticalCount({ trials: 12, alternative: 'more' }), 'unknown-choice', 'alternative');
});
