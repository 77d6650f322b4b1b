import fc from 'fast-check';
import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { distinguishers } from '../../stats/distinguishers';
import { type SimilarityCountInput, similarityCount } from '../../stats/similarity-count';
import { expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  { trials: number[]; chance: number; pd: number; beta: number[] },
  { count: (number | null)[][] }
>;

test.each(references<Case[]>('similarity-count'))('$id: $source', ({ inputs, expected }) => {
  const { chance, pd } = inputs;
  const table = inputs.trials.map((trials) =>
    inputs.beta.map((beta) => similarityCount({ trials, chance, pd, beta }).count),
  );
  expect(table).toEqual(expected.count);
});

/** P(at most so many right) by writing out all sequences. */
function atMost(trials: number, share: number): number[] {
  const sums = new Array<number>(trials + 1).fill(0);
  for (let code = 0; code < 2 ** trials; code++) {
    let right = 0;
    let p = 1;
    for (let i = 0; i < trials; i++) {
      const one = Math.floor(code / 2 ** i) % 2;
      right += one;
      p *= one === 1 ? share : 1 - share;
    }
    for (let count = right; count <= trials; count++) sums[count] = (sums[count] ?? 0) + p;
  }
  return sums;
}

test.each([
  [0.5, 0.3],
  [1 / 3, 0.5],
  [0.1, 0.05],
  [0.5, 0.9],
])('every number of trials up to 10 at chance %s and pd %s, by enumeration', (chance, pd) => {
  for (let trials = 1; trials <= 10; trials++) {
    const tails = atMost(trials, chance + pd * (1 - chance));
    for (const beta of [0.001, 0.04, 0.11, 0.3, 0.6, 0.97]) {
      const count = tails.filter((p) => p <= beta).length - 1;
      expect(similarityCount({ trials, chance, pd, beta }).count, `${trials} at ${beta}`).toBe(
        count < 0 ? null : count,
      );
    }
  }
});

test('a tail that equals beta but for rounding is reached', () => {
  // At pc = 3/4: P(X = 0) of 4 trials is 1/256, P(X ≤ 1) is 13/256.
  expect(similarityCount({ trials: 4, pd: 0.5, beta: 13 / 256 }).count).toBe(1);
  expect(similarityCount({ trials: 4, pd: 0.5, beta: (13 / 256) * (1 - 1e-9) }).count).toBe(0);
  // At pc = 1/3 + 2/3·1/4 = 1/2, which is no double's sum exactly: P(X ≤ 2) of 7 trials is 29/128.
  expect(similarityCount({ trials: 7, chance: 1 / 3, pd: 0.25, beta: 29 / 128 }).count).toBe(2);
});

test('the same verdict as the exact test of the limit and as the upper limit of the share', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 400 }),
      fc.double({ min: 0.05, max: 0.9, noNaN: true }),
      fc.double({ min: 0.01, max: 0.95, noNaN: true }),
      fc.double({ min: 0.001, max: 0.4, noNaN: true }),
      (trials, chance, pd, beta) => {
        const { count } = similarityCount({ trials, chance, pd, beta });
        const p = (correct: number) =>
          binomialTest({ correct, trials, chance: chance + pd * (1 - chance), alternative: 'less' }).p;
        const limit = (correct: number) => distinguishers({ correct, trials, chance, level: 1 - 2 * beta }).upper;
        if (count !== null) {
          expect(p(count)).toBeLessThanOrEqual(beta);
          expect(limit(count)).toBeLessThanOrEqual(pd * (1 + 1e-9));
        }
        expect(p((count ?? -1) + 1)).toBeGreaterThan(beta);
        expect(limit((count ?? -1) + 1)).toBeGreaterThan(pd * (1 - 1e-9));
      },
    ),
    { seed: 21, numRuns: 200 },
  );
});

test('more trials, a larger limit or more risk never bear fewer right answers', () => {
  const count = (change: Partial<SimilarityCountInput>) =>
    similarityCount({ trials: 50, chance: 1 / 3, pd: 0.3, ...change }).count ?? -1;
  for (let trials = 1; trials < 200; trials++) {
    expect(count({ trials: trials + 1 }) - count({ trials })).toBeGreaterThanOrEqual(0);
    expect(count({ trials: trials + 1 }) - count({ trials })).toBeLessThanOrEqual(1);
  }
  for (const part of [0.1, 0.2, 0.3, 0.4, 0.5]) {
    expect(count({ pd: part + 0.1 })).toBeGreaterThanOrEqual(count({ pd: part }));
    expect(count({ beta: part + 0.1 })).toBeGreaterThanOrEqual(count({ beta: part }));
  }
});

test('at the ends: too few trials, a limit of everybody, a limit of nobody, ten million trials', () => {
  expect(similarityCount({ trials: 2, pd: 0.1 }).count).toBe(null);
  // If everybody heard it, all would be right: one wrong answer is enough.
  expect(similarityCount({ trials: 10, pd: 1 }).count).toBe(9);
  expect(similarityCount({ trials: 1, pd: 1 }).count).toBe(0);
  // 4 of 12 or fewer come with 0.194 by guessing, 3 or fewer with 0.073, 2 or fewer with 0.019.
  expect(similarityCount({ trials: 12, pd: 0 }).count).toBe(2);
  const { count } = similarityCount({ trials: 1e7, pd: 0.2, chance: 1 / 3 });
  const z = ((count ?? 0) + 0.5 - (1e7 * 7) / 15) / Math.sqrt((1e7 * 56) / 225);
  expect(Math.abs(z + 1.6448536)).toBeLessThan(1e-3);
});

test.each([
  [{ trials: undefined }, 'missing', 'trials'],
  [{ trials: 0 }, 'out-of-range', 'trials'],
  [{ trials: 12.5 }, 'wrong-type', 'trials'],
  [{ trials: 1e8 }, 'out-of-range', 'trials'],
  [{ pd: undefined }, 'missing', 'pd'],
  [{ pd: 1.1 }, 'out-of-range', 'pd'],
  [{ pd: -0.1 }, 'out-of-range', 'pd'],
  [{ pd: '0.3' }, 'wrong-type', 'pd'],
  [{ chance: 1 }, 'out-of-range', 'chance'],
  [{ beta: Number.NaN }, 'wrong-type', 'beta'],
  [{ alpha: 0.05 }, 'unknown-option', 'alpha'],
] as const)('bad input is refused: %o', (change, code, path) => {
  const input = { trials: 30, pd: 0.3, ...change } as unknown as SimilarityCountInput;
  expectRefused(() => similarityCount(input), code, path);
});
