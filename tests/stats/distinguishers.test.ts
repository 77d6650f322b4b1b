import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type DistinguishersInput, distinguishers } from '../../stats/distinguishers';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Case = ReferenceCase<
  { correct: number; trials: number; chance: number; level: number },
  { pd: number; lower: number; upper: number }
>;

test.each(references<Case[]>('distinguishers'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const result = distinguishers(inputs);
  for (const name of ['pd', 'lower', 'upper'] as const) {
    expectClose(result[name], expected[name], tolerance, `${id} ${name}`);
  }
});

/** P(at least `count` right), by the definition. */
function atLeast(count: number, trials: number, share: number): number {
  let ways = 1;
  let sum = 0;
  for (let right = 0; right <= trials; right++) {
    if (right >= count) sum += ways * share ** right * (1 - share) ** (trials - right);
    ways = (ways * (trials - right)) / (right + 1);
  }
  return sum;
}

test('at each limit the count and what is beyond it has half of what the level leaves, by adding up', () => {
  for (const [chance, level] of [
    [0.5, 0.95],
    [1 / 3, 0.9],
    [0.1, 0.8],
  ] as const) {
    for (let trials = 1; trials <= 12; trials++) {
      for (let correct = 0; correct <= trials; correct++) {
        const { pd, lower, upper } = distinguishers({ correct, trials, chance, level });
        const tail = (1 - level) / 2;
        const right = (share: number) => chance + share * (1 - chance);
        const what = `${correct} of ${trials}`;
        expectClose(pd, Math.max(0, (correct / trials - chance) / (1 - chance)), rounding, what);
        if (lower > 0) expectClose(atLeast(correct, trials, right(lower)), tail, { relative: 1e-9, absolute: 0 }, what);
        else expect(atLeast(correct, trials, chance)).toBeGreaterThanOrEqual(tail * (1 - 1e-9));
        const left = 1 - atLeast(correct + 1, trials, right(upper));
        if (upper > 0 && upper < 1) expectClose(left, tail, { relative: 1e-9, absolute: 0 }, what);
        if (upper === 1) expect(correct).toBe(trials);
      }
    }
  }
});

test('the limits hold the share, widen with the level and narrow with the number of trials', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 500 }),
      fc.nat(),
      fc.double({ min: 0.05, max: 0.9, noNaN: true }),
      fc.double({ min: 0.5, max: 0.98, noNaN: true }),
      (trials, pick, chance, level) => {
        const correct = pick % (trials + 1);
        const { pd, proportion, lower, upper, belowChance } = distinguishers({ correct, trials, chance, level });
        expect(proportion).toBe(pd);
        expect(lower).toBeLessThanOrEqual(pd);
        expect(upper).toBeGreaterThanOrEqual(pd);
        expect(belowChance && upper > 0).toBe(false);
        const wider = distinguishers({ correct, trials, chance, level: level + 0.01 });
        expect(wider.lower).toBeLessThanOrEqual(lower);
        expect(wider.upper).toBeGreaterThanOrEqual(upper);
        const more = distinguishers({ correct: correct * 4, trials: trials * 4, chance, level });
        expect(more.upper - more.lower).toBeLessThanOrEqual(upper - lower + 1e-12);
        if (correct < trials) {
          const next = distinguishers({ correct: correct + 1, trials, chance, level });
          expect(next.lower).toBeGreaterThanOrEqual(lower);
          expect(next.upper).toBeGreaterThanOrEqual(upper);
        }
      },
    ),
    { seed: 22, numRuns: 200 },
  );
});

test('all right, none right, and fewer than guessing explains', () => {
  const all = distinguishers({ correct: 30, trials: 30 });
  expect([all.pd, all.upper, all.belowChance]).toEqual([1, 1, false]);
  expectClose(all.lower, 2 * 0.025 ** (1 / 30) - 1, { relative: 1e-10, absolute: 0 }, 'lower');
  const none = distinguishers({ correct: 0, trials: 3 });
  expect([none.pd, none.lower, none.belowChance]).toEqual([0, 0, false]);
  expect(distinguishers({ correct: 2, trials: 30 })).toEqual({
    pd: 0,
    proportion: 0,
    lower: 0,
    upper: 0,
    belowChance: true,
  });
});

test.each([
  [{ correct: 31 }, 'out-of-range', 'correct'],
  [{ correct: -1 }, 'out-of-range', 'correct'],
  [{ correct: 2.5 }, 'wrong-type', 'correct'],
  [{ trials: 0 }, 'out-of-range', 'trials'],
  [{ trials: undefined }, 'missing', 'trials'],
  [{ chance: 0 }, 'out-of-range', 'chance'],
  [{ level: 95 }, 'out-of-range', 'level'],
  [{ level: Number.NaN }, 'wrong-type', 'level'],
  [{ p0: 0.5 }, 'unknown-option', 'p0'],
] as const)('bad input is refused: %o', (change, code, path) => {
  const input = { correct: 20, trials: 30, ...change } as unknown as DistinguishersInput;
  expectRefused(() => distinguishers(input), code, path);
});
