import fc from 'fast-check';
import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { criticalCount } from '../../stats/critical-count';
import { binomialPmf } from '../../stats/distributions';
import { power } from '../../stats/power';
import { proportionCorrect } from '../../stats/proportion-correct';
import { thurstonianMethods } from '../../stats/thurstonian';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<{ trials: number[]; chance: number; pd: number; alpha: number }, { power: number[] }>;

test.each(references<Case[]>('power'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  expect(inputs.trials).toHaveLength(expected.power.length);
  inputs.trials.forEach((trials, i) => {
    const got = power({ ...inputs, trials }).power;
    expectClose(got, expected.power[i] ?? Number.NaN, tolerance, `${id} ${trials}`);
  });
});

const sides = ['greater', 'less', 'two-sided'] as const;

/** The share of all sequences of right and wrong, each with its probability, that the exact test calls significant. */
function enumerated(trials: number, chance: number, alternative: (typeof sides)[number], proportion: number): number {
  let found = 0;
  for (let sequence = 0; sequence < 2 ** trials; sequence++) {
    let correct = 0;
    let probability = 1;
    for (let i = 0; i < trials; i++) {
      const right = Math.floor(sequence / 2 ** i) % 2 === 1;
      if (right) correct++;
      probability *= right ? proportion : 1 - proportion;
    }
    if (binomialTest({ correct, trials, chance, alternative }).p <= 0.05 * (1 + 1e-12)) found += probability;
  }
  return found;
}

test.each(sides)('%s: up to 8 trials, by all sequences of answers', (alternative) => {
  for (const chance of [1 / 2, 1 / 3, 1 / 10]) {
    for (let trials = 1; trials <= 8; trials++) {
      const got = power({ trials, chance, proportion: 0.7, alternative });
      const what = `${trials} at ${chance}`;
      const tolerance = { relative: 1e-11, absolute: 0 };
      expectClose(got.power, enumerated(trials, chance, alternative, 0.7), tolerance, what);
      expectClose(got.attainedAlpha, enumerated(trials, chance, alternative, chance), tolerance, `${what}, alpha`);
    }
  }
});

test('two-sided power counts both tails', () => {
  const { power: got, count } = power({ trials: 12, proportion: 0.8, alternative: 'two-sided' });
  expect(count).toBe(10);
  const direct = [0, 1, 2, 10, 11, 12].reduce((sum, k) => sum + binomialPmf(k, 12, 0.8), 0);
  expectClose(got, direct, { relative: 1e-11, absolute: 0 }, 'both tails');
});

test('at chance the power is the attained alpha', () => {
  for (const alternative of sides) {
    const got = power({ trials: 25, chance: 1 / 3, proportion: 1 / 3, alternative });
    expect(got.power).toBe(got.attainedAlpha);
    expect(got.count).toBe(criticalCount({ trials: 25, chance: 1 / 3, alternative }).count);
  }
});

test('power grows with the difference and with alpha, and lies in 0 … 1', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 400 }),
      fc.constantFrom(1 / 2, 1 / 3, 1 / 10),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      (trials, chance, one, other) => {
        const [less, more] = [Math.min(one, other), Math.max(one, other)];
        const at = (pd: number, alpha = 0.05) => power({ trials, chance, pd, alpha }).power;
        expect(at(less)).toBeLessThanOrEqual(at(more) * (1 + 1e-12));
        expect(at(less, 0.01)).toBeLessThanOrEqual(at(less));
        expect(at(more) >= 0 && at(more) <= 1).toBe(true);
      },
    ),
    { seed: 51, numRuns: 200 },
  );
  expect(power({ trials: 30, chance: 1 / 3, pd: 1 }).power).toBe(1);
  expect(power({ trials: 30, proportion: 0, alternative: 'two-sided' }).power).toBe(1);
  expect(power({ trials: 30, proportion: 0 }).power).toBe(0);
});

test('where nothing is significant there is no power', () => {
  expect(power({ trials: 3, pd: 1 })).toEqual({ power: 0, count: null, attainedAlpha: 0 });
});

test('a power of 1e-100 is not 0', () => {
  const { power: got } = power({ trials: 400, proportion: 0.15 });
  expectClose(
    got,
    binomialTest({ correct: 217, trials: 400, chance: 0.15 }).p,
    { relative: 1e-11, absolute: 0 },
    'tail',
  );
  expect(got).toBeGreaterThan(0);
  expect(got).toBeLessThan(1e-60);
});

test('d′ with its method tells the truth and the guessing chance', () => {
  for (const method of thurstonianMethods) {
    const told = power({ trials: 60, dPrime: 1.5, method });
    const { proportion } = proportionCorrect({ method, dPrime: 1.5 });
    const chance = proportionCorrect({ method, dPrime: 0 }).proportion;
    expect(told).toEqual(power({ trials: 60, chance, proportion }));
    const none = power({ trials: 60, dPrime: 0, method });
    expect(none.power).toBe(none.attainedAlpha);
  }
  // A chance written out is still the method's.
  const told = power({ trials: 60, dPrime: 1.5, method: 'tetrad' });
  expect(power({ trials: 60, dPrime: 1.5, method: 'tetrad', chance: 0.333333333 })).toEqual(told);
});

test('one truth, and told whole', () => {
  const dPrime = { trials: 10, dPrime: 1, method: 'triangle' } as const;
  expectRefused(() => power({ trials: 10 }), 'missing', 'pd');
  expectRefused(() => power({ trials: 10, pd: 0.2, proportion: 0.6 }), 'inconsistent', 'pd');
  expectRefused(() => power({ ...dPrime, pd: 0.2 }), 'inconsistent', 'dPrime');
  expectRefused(() => power({ ...dPrime, proportion: 0.2 }), 'inconsistent', 'dPrime');
  expectRefused(() => power({ trials: 10, pd: 0.2, method: 'triangle' }), 'inconsistent', 'method');
  expectRefused(() => power({ trials: 10, method: 'triangle' }), 'missing', 'dPrime');
  expectRefused(() => power({ trials: 10, dPrime: 1 }), 'missing', 'method');
  expectRefused(() => power({ ...dPrime, chance: 0.5 }), 'inconsistent', 'chance');
  expectRefused(() => power({ ...dPrime, chance: 0.333 }), 'inconsistent', 'chance');
  expectRefused(() => power({ ...dPrime, chance: 1 }), 'out-of-range', 'chance');
  expectRefused(() => power({ ...dPrime, dPrime: -1 }), 'out-of-range', 'dPrime');
  expectRefused(() => power({ ...dPrime, dPrime: Number.POSITIVE_INFINITY }), 'wrong-type', 'dPrime');
  // @ts-expect-error no such method
  expectRefused(() => power({ ...dPrime, method: 'trangle' }), 'unknown-choice', 'method');
  // @ts-expect-error misspelt
  expectRefused(() => power({ trials: 10, pd: 0.2, dprime: 1 }), 'unknown-option', 'dprime');
});

test('bad input', () => {
  expectRefused(() => power({ trials: 0, pd: 0.2 }), 'out-of-range', 'trials');
  expectRefused(() => power({ trials: 10, pd: 1.2 }), 'out-of-range', 'pd');
  expectRefused(() => power({ trials: 10, proportion: -0.1 }), 'out-of-range', 'proportion');
  expectRefused(() => power({ trials: 10, pd: Number.NaN }), 'wrong-type', 'pd');
  expectRefused(() => power({ trials: 10, pd: 0.2, alpha: 1 }), 'out-of-range', 'alpha');
});
