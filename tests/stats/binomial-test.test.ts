import fc from 'fast-check';
import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  { correct: number; trials: number; chance: number },
  { greater: number; less: number; 'two-sided': number; midP: number }
>;

test.each(references<Case[]>('binomial-test'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  for (const alternative of ['greater', 'less', 'two-sided'] as const) {
    expectClose(binomialTest({ ...inputs, alternative }).p, expected[alternative], tolerance, `${id} ${alternative}`);
  }
  const result = binomialTest(inputs);
  expectClose(result.midP, expected.midP, tolerance, `${id} midP`);
  expect(result.proportion).toBe(inputs.correct / inputs.trials);
  const printed = published?.p_upper;
  if (printed) expectClose(result.p, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
});

/** By writing out all sequences of right and wrong: nothing in common with the code under test. */
function enumerated(trials: number, chance: number): number[] {
  const outcomes = new Array<number>(trials + 1).fill(0);
  for (let sequence = 0; sequence < 2 ** trials; sequence++) {
    let right = 0;
    let p = 1;
    for (let i = 0; i < trials; i++) {
      const correct = Math.floor(sequence / 2 ** i) % 2 === 1;
      if (correct) right++;
      p *= correct ? chance : 1 - chance;
    }
    outcomes[right] = (outcomes[right] ?? 0) + p;
  }
  return outcomes;
}

test.each([1 / 2, 1 / 3, 1 / 10, 0.75])('every count up to 10 trials at chance %s, by enumeration', (chance) => {
  for (let trials = 1; trials <= 10; trials++) {
    const outcomes = enumerated(trials, chance);
    for (let correct = 0; correct <= trials; correct++) {
      const seen = outcomes[correct] ?? 0;
      const sum = (keep: (p: number, k: number) => boolean) =>
        outcomes.reduce((total, p, k) => (keep(p, k) ? total + p : total), 0);
      const what = `${correct} of ${trials} at ${chance}`;
      const tolerance = { relative: 1e-10, absolute: 0 };
      const run = (alternative: 'greater' | 'less' | 'two-sided') =>
        binomialTest({ correct, trials, chance, alternative });
      const like = (p: number) => Math.abs(p - seen) <= 1e-9 * seen;
      const greater = sum((_, k) => k >= correct);
      const less = sum((_, k) => k <= correct);
      const both = sum((p) => p < seen || like(p));
      expectClose(run('greater').p, greater, tolerance, what);
      expectClose(run('greater').midP, greater - seen / 2, { relative: 1e-10, absolute: 1e-14 }, what);
      expectClose(run('less').p, less, tolerance, what);
      expectClose(run('less').midP, less - seen / 2, { relative: 1e-10, absolute: 1e-14 }, what);
      expectClose(run('two-sided').p, both, tolerance, what);
      expectClose(run('two-sided').midP, both - sum(like) / 2, { relative: 1e-9, absolute: 1e-14 }, what);
    }
  }
});

test('one more right answer never raises the upper tail, and the tails mirror each other', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 300 }),
      fc.double({ min: 0.02, max: 0.98, noNaN: true }),
      fc.nat(),
      (trials, chance, pick) => {
        const correct = pick % trials;
        const p = (count: number) => binomialTest({ correct: count, trials, chance }).p;
        expect(p(correct + 1)).toBeLessThanOrEqual(p(correct));
        const mirrored = binomialTest({ correct: trials - correct, trials, chance: 1 - chance, alternative: 'less' }).p;
        expectClose(mirrored, p(correct), { relative: 1e-8, absolute: 0 }, 'mirror');
        const both = binomialTest({ correct, trials, chance, alternative: 'two-sided' }).p;
        const tails = [p(correct), binomialTest({ correct, trials, chance, alternative: 'less' }).p];
        expect(both).toBeGreaterThanOrEqual(Math.min(...tails) * (1 - 1e-12));
        expect(both).toBeLessThanOrEqual(1);
      },
    ),
    { seed: 3, numRuns: 300 },
  );
});

test('all right out of a thousand keeps its tail', () => {
  expect(binomialTest({ correct: 1000, trials: 1000 }).p).toBe(2 ** -1000);
  expect(binomialTest({ correct: 0, trials: 1000, alternative: 'two-sided' }).p).toBe(2 ** -999);
});

const sides = ['greater', 'less', 'two-sided'] as const;

test('p is never more often small than it says, nor the mid-p of both tails together more than 1', () => {
  for (const chance of [1 / 2, 1 / 3, 1 / 10]) {
    for (let trials = 1; trials <= 12; trials++) {
      const outcomes = enumerated(trials, chance);
      for (const alternative of sides) {
        const p = outcomes.map((_, correct) => binomialTest({ correct, trials, chance, alternative }).p);
        for (const alpha of p) {
          const sum = outcomes.reduce((total, seen, k) => ((p[k] as number) <= alpha ? total + seen : total), 0);
          expect(sum, `${trials} at ${chance}, ${alternative}`).toBeLessThanOrEqual(alpha * (1 + 1e-9));
        }
      }
      outcomes.forEach((_, correct) => {
        const [up, down] = (['greater', 'less'] as const).map((alternative) =>
          binomialTest({ correct, trials, chance, alternative }),
        );
        expectClose((up?.midP ?? 0) + (down?.midP ?? 0), 1, { relative: 1e-12, absolute: 0 }, 'mid-p of both');
      });
    }
  }
});

test('both tails hold the count seen twice, up to a million trials', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 1_000_000 }),
      fc.constantFrom(1 / 2, 1 / 3, 1 / 10),
      fc.double({ min: -6, max: 6, noNaN: true }),
      (trials, chance, z) => {
        const centre = trials * chance + z * Math.sqrt(trials * chance * (1 - chance));
        const correct = Math.min(trials, Math.max(0, Math.round(centre)));
        const run = (alternative: 'greater' | 'less') => binomialTest({ correct, trials, chance, alternative });
        const [up, down] = [run('greater'), run('less')];
        const seen = 2 * (up.p - up.midP);
        expectClose(up.p + down.p, 1 + seen, { relative: 1e-12, absolute: 0 }, `${correct} of ${trials}`);
        expectClose(2 * (down.p - down.midP), seen, { relative: 1e-7, absolute: 1e-15 }, 'mid-p');
      },
    ),
    { seed: 4, numRuns: 200 },
  );
});

test('the ends: one trial, none right, all right, the most probable count', () => {
  expect(binomialTest({ correct: 0, trials: 1 })).toEqual({ p: 1, midP: 0.75, proportion: 0 });
  expect(binomialTest({ correct: 1, trials: 1 })).toEqual({ p: 0.5, midP: 0.25, proportion: 1 });
  expect(binomialTest({ correct: 0, trials: 900, chance: 0.1 }).p).toBe(1);
  expect(binomialTest({ correct: 900, trials: 900, chance: 0.1, alternative: 'less' }).p).toBe(1);
  for (const chance of [0.1, 1 / 3, 0.5]) {
    for (const trials of [30, 90, 3000]) {
      const correct = Math.round(trials * chance);
      expect(binomialTest({ correct, trials, chance, alternative: 'two-sided' }).p).toBe(1);
    }
  }
});

test('bad input', () => {
  expectRefused(() => binomialTest({ correct: 5, trials: 4 }), 'out-of-range', 'correct');
  expectRefused(() => binomialTest({ correct: -1, trials: 4 }), 'out-of-range', 'correct');
  expectRefused(() => binomialTest({ correct: 1.5, trials: 4 }), 'wrong-type', 'correct');
  expectRefused(() => binomialTest({ correct: 1, trials: 0 }), 'out-of-range', 'trials');
  expectRefused(() => binomialTest({ correct: 1, trials: Number.POSITIVE_INFINITY }), 'wrong-type', 'trials');
  expectRefused(() => binomialTest({ correct: 1, trials: 4, chance: 0 }), 'out-of-range', 'chance');
  expectRefused(() => binomialTest({ correct: 1, trials: 4, chance: 1 }), 'out-of-range', 'chance');
  // @ts-expect-error a text
  expectRefused(() => binomialTest({ correct: '3', trials: 4 }), 'wrong-type', 'correct');
  const misspelt = { correct: 3, trials: 4, alternative: 'grater' } as const;
  // @ts-expect-error no such side
  const error = expectRefused(() => binomialTest(misspelt), 'unknown-choice', 'alternative');
  expect(error.message).toContain('did you mean greater');
  // @ts-expect-error misspelt
  expectRefused(() => binomialTest({ correct: 3, trials: 4, chnace: 0.5 }), 'unknown-option', 'chnace');
});
