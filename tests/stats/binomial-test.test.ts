import fc from 'fast-check';
import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { expectClose, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  { correct: number; trials: number; chance: number },
  { greater: number; less: number; 'two-sided': number; midP: number }
>;

test.each(references<Case[]>('binomial-test'))('$id', ({ inputs, expected, tolerance, published, id }) => {
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
