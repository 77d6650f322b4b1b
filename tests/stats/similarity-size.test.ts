import { expect, test } from 'vitest';
import { similarityCount } from '../../stats/similarity-count';
import { type SimilaritySizeInput, similaritySize } from '../../stats/similarity-size';
import { expectClose, expectRefused } from './support';

/** P(at most `count` right), by the definition. */
function atMost(count: number, trials: number, share: number): number {
  let ways = 1;
  let sum = 0;
  for (let right = 0; right <= count; right++) {
    sum += ways * share ** right * (1 - share) ** (trials - right);
    ways = (ways * (trials - right)) / (right + 1);
  }
  return sum;
}

/** Power of every number of trials, with its count, by adding up outcome after outcome. */
function curve(most: number, limit: number, truth: number, beta: number): { count: number | null; power: number }[] {
  // One trial more never bears fewer right answers.
  let count = -1;
  return Array.from({ length: most }, (_, i) => {
    while (count < i && atMost(count + 1, i + 1, limit) <= beta) count++;
    return { count: count < 0 ? null : count, power: count < 0 ? 0 : atMost(count, i + 1, truth) };
  });
}

test.each([
  { chance: 1 / 3, pd: 0.3, beta: 0.05, truePd: 0, power: 0.8 },
  { chance: 0.5, pd: 0.4, beta: 0.1, truePd: 0.1, power: 0.7 },
  { chance: 0.5, pd: 0.5, beta: 0.001, truePd: 0, power: 0.95 },
  { chance: 0.1, pd: 0.9, beta: 0.2, truePd: 0.5, power: 0.9 },
  { chance: 0.9, pd: 0.5, beta: 0.3, truePd: 0, power: 0.5 },
])('the first size that is enough and the last that is not, by adding up: %o', (input) => {
  const right = (share: number) => input.chance + share * (1 - input.chance);
  const all = curve(220, right(input.pd), right(input.truePd), input.beta);
  const first = all.findIndex(({ power }) => power >= input.power);
  const last = all.findLastIndex(({ power }) => power < input.power) + 1;
  const { smallest, lasting } = similaritySize(input);
  for (const [got, at] of [
    [smallest, first],
    [lasting, last],
  ] as const) {
    expect([got.trials, got.count]).toEqual([at + 1, all[at]?.count]);
    expectClose(got.power, all[at]?.power ?? Number.NaN, { relative: 1e-10, absolute: 0 }, 'power');
    expect(got.count).toBe(similarityCount({ ...pick(input), trials: got.trials }).count);
  }
});

const pick = ({ chance, pd, beta }: { chance: number; pd: number; beta: number }) => ({ chance, pd, beta });

test('a wider limit, more risk or less power needs no more trials', () => {
  const trials = (change: Partial<SimilaritySizeInput>) => similaritySize({ pd: 0.3, ...change }).lasting.trials;
  expect(trials({ pd: 0.4 })).toBeLessThan(trials({}));
  expect(trials({ beta: 0.1 })).toBeLessThan(trials({}));
  expect(trials({ power: 0.5 })).toBeLessThan(trials({}));
  expect(trials({ truePd: 0.1 })).toBeGreaterThan(trials({}));
});

test('a power that is wanted exactly is reached', () => {
  // With everybody as the limit one wrong answer shows likeness: 1 − (1/2)³ = 7/8.
  expect(similaritySize({ pd: 1, power: 7 / 8 })).toEqual({
    smallest: { trials: 3, count: 2, power: 7 / 8 },
    lasting: { trials: 3, count: 2, power: 7 / 8 },
  });
});

test('large sizes agree with the normal approximation', () => {
  const { smallest } = similaritySize({ pd: 0.02 });
  const [limit, truth] = [0.51, 0.5];
  const root = 1.6448536 * Math.sqrt(limit * (1 - limit)) + 0.8416212 * Math.sqrt(truth * (1 - truth));
  const approximate = (root / (limit - truth)) ** 2;
  expect(Math.abs(smallest.trials / approximate - 1)).toBeLessThan(0.01);
});

test.each([
  [{ pd: 0 }, 'inconsistent', 'pd'],
  [{ pd: 0.3, truePd: 0.3 }, 'inconsistent', 'truePd'],
  [{ pd: 0.3, truePd: 0.5 }, 'inconsistent', 'truePd'],
  [{ pd: 0.3, truePd: 0.2999 }, 'unreachable', 'pd'],
  [{ pd: 1e-9 }, 'unreachable', 'pd'],
  [{}, 'missing', 'pd'],
  [{ pd: 1.2 }, 'out-of-range', 'pd'],
  [{ pd: 0.3, truePd: -0.1 }, 'out-of-range', 'truePd'],
  [{ pd: 0.3, power: 1 }, 'out-of-range', 'power'],
  [{ pd: 0.3, power: '0.8' }, 'wrong-type', 'power'],
  [{ pd: 0.3, beta: 0 }, 'out-of-range', 'beta'],
  [{ pd: 0.3, chance: Number.POSITIVE_INFINITY }, 'wrong-type', 'chance'],
  [{ pd: 0.3, truepd: 0 }, 'unknown-option', 'truepd'],
] as const)('bad input is refused: %o', (input, code, path) => {
  expectRefused(() => similaritySize(input as unknown as SimilaritySizeInput), code, path);
});
