import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type PsychometricFitInput, type PsychometricFitResult, psychometricFit } from '../../stats/psychometric-fit';
import { seededRandom } from '../../stats/seeded-random';
import { expectClose, expectRefused, type ReferenceCase, references, refused, rounding } from './support';

type Case = ReferenceCase<PsychometricFitInput, PsychometricFitResult>;

test.each(references<Case[]>('psychometric-fit'))('$id: $source', ({ id, inputs, expected, tolerance, published }) => {
  const got = psychometricFit(inputs);
  for (const field of ['threshold', 'slope', 'logLik', 'deviance'] as const) {
    expectClose(got[field], expected[field], tolerance, `${id} ${field}`);
    const printed = published?.[field];
    if (printed)
      expectClose(got[field], printed.value, { relative: 0, absolute: printed.tolerance }, `printed ${field}`);
  }
  for (const field of ['threshold', 'slope'] as const) {
    expectClose(got.standardErrors[field], expected.standardErrors[field], tolerance, `${id} error of ${field}`);
  }
  expect(got.degreesOfFreedom).toBe(expected.degreesOfFreedom);
});

const five = { levels: [1, 2, 3, 4, 5], trials: [20, 20, 20, 20, 20] };
const near = { relative: 1e-9, absolute: 1e-9 };

const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n, k - 1) * (n - k + 1)) / k);

/** The log likelihood as its definition has it; logistic only. */
function logLikOf(input: PsychometricFitInput, threshold: number, slope: number): number {
  const { levels, correct, trials, guess, lapse = 0 } = input;
  return levels.reduce((sum, level, i) => {
    const [x, n] = [correct[i] as number, trials[i] as number];
    const p = guess + (1 - guess - lapse) / (1 + Math.exp(-slope * (level - threshold)));
    const part = (count: number, share: number) => (count === 0 ? 0 : count * Math.log(share));
    return sum + Math.log(choose(n, x)) + part(x, p) + part(n - x, 1 - p);
  }, 0);
}

const anyAnswers = fc
  .record({
    guess: fc.constantFrom(0, 1 / 2, 1 / 3),
    lapse: fc.constantFrom(0, 0.05),
    rows: fc.array(fc.tuple(fc.integer({ min: 1, max: 12 }), fc.nat()), { minLength: 2, maxLength: 6 }),
  })
  .map(({ guess, lapse, rows }) => ({
    guess,
    lapse,
    levels: rows.map((_, i) => i * 1.5 - 2),
    trials: rows.map(([n]) => n),
    correct: rows.map(([n, x]) => x % (n + 1)),
  }));

/** The result, or the code of the refusal. */
function outcome(input: PsychometricFitInput): PsychometricFitResult | string {
  let found: PsychometricFitResult | string = '';
  try {
    found = psychometricFit(input);
  } catch {
    found = refused(() => psychometricFit(input)).code;
  }
  return found;
}

test('no threshold and slope of a grid is likelier; where there is no best one, steep or flat ones are the likeliest', () => {
  const seen = new Set<string>();
  fc.assert(
    fc.property(anyAnswers, (input) => {
      const grid = Array.from({ length: 81 }, (_, i) => -6 + i * 0.2).flatMap((threshold) =>
        [0.02, 0.1, 0.3, 0.6, 1, 1.5, 2.5, 4, 8, 20, 100].flatMap((slope) =>
          [slope, -slope].map((b) => logLikOf(input, threshold, b)),
        ),
      );
      const highest = Math.max(...grid.filter((value) => !Number.isNaN(value)));
      const got = outcome(input);
      seen.add(typeof got === 'string' ? got : 'fitted');
      if (typeof got === 'string') {
        expect(['separated', 'no-variation']).toContain(got);
      } else {
        expect(highest).toBeLessThanOrEqual(got.logLik + 1e-9);
        expectClose(
          logLikOf(input, got.threshold, got.slope),
          got.logLik,
          { relative: 1e-9, absolute: 1e-9 },
          'height',
        );
        for (const [t, b] of [
          [0.01, 0],
          [-0.01, 0],
          [0, 0.01],
          [0, -0.01],
        ] as const) {
          const { threshold, slope, standardErrors } = got;
          const beside = logLikOf(input, threshold + t * standardErrors.threshold, slope + b * standardErrors.slope);
          expect(beside).toBeLessThanOrEqual(got.logLik + 1e-9);
        }
      }
    }),
    { seed: 12, numRuns: 150 },
  );
  expect([...seen].sort()).toEqual(['fitted', 'no-variation', 'separated']);
});

test('the slopes of the likelihood are none at the peak, by differences', () => {
  const input = { ...five, correct: [11, 13, 15, 19, 19], guess: 0.5, lapse: 0.02 };
  const { threshold, slope } = psychometricFit(input);
  const at = (t: number, b: number) => logLikOf(input, threshold + t, slope + b);
  const by = (f: (h: number) => number) => (8 * (f(1e-3) - f(-1e-3)) - (f(2e-3) - f(-2e-3))) / 12e-3;
  expect(Math.abs(by((h) => at(h, 0)))).toBeLessThan(1e-9);
  expect(Math.abs(by((h) => at(0, h)))).toBeLessThan(1e-9);
});

test('two levels: the curve goes through both', () => {
  const got = psychometricFit({ levels: [1, 3], correct: [12, 18], trials: [20, 24], guess: 0.5 });
  // F is 0.2 and 0.5 there: log odds −log 4 and 0.
  expectClose(got.threshold, 3, near, 'threshold');
  expectClose(got.slope, Math.log(4) / 2, near, 'slope');
  expectClose(got.deviance, 0, { relative: 0, absolute: 1e-12 }, 'deviance');
  expect(got.degreesOfFreedom).toBe(0);
});

test('units of the level carry over; turned round, the slope changes its sign; rows of one level add up', () => {
  const correct = [11, 13, 15, 19, 20];
  const plain = psychometricFit({ ...five, correct, guess: 0.5 });
  const moved = psychometricFit({ ...five, levels: five.levels.map((l) => 1e4 + 0.001 * l), correct, guess: 0.5 });
  expectClose(moved.threshold, 1e4 + 0.001 * plain.threshold, { relative: 1e-13, absolute: 0 }, 'threshold');
  expectClose(moved.slope, 1000 * plain.slope, { relative: 1e-7, absolute: 0 }, 'slope');
  expectClose(
    moved.standardErrors.threshold,
    0.001 * plain.standardErrors.threshold,
    { relative: 1e-7, absolute: 0 },
    'error',
  );
  expectClose(moved.deviance, plain.deviance, { relative: 1e-7, absolute: 0 }, 'deviance');
  const turned = psychometricFit({ ...five, levels: five.levels.map((l) => -l), correct, guess: 0.5 });
  expectClose(turned.threshold, -plain.threshold, rounding, 'turned');
  expectClose(turned.slope, -plain.slope, { relative: 1e-11, absolute: 0 }, 'turned slope');
  const apart = psychometricFit({
    levels: [5, 1, 2, 3, 4, 5],
    correct: [8, 11, 13, 15, 19, 12],
    trials: [8, 20, 20, 20, 20, 12],
    guess: 0.5,
  });
  expect(apart).toEqual(plain);
});

test('simulated answers: the curve is found again, and the standard errors are the spread of fits', () => {
  const random = seededRandom(31);
  const fits = Array.from({ length: 300 }, () => {
    const levels = [-2, -1, 0, 1, 2, 3];
    const correct = levels.map((level) => {
      const p = 0.5 + 0.5 / (1 + Math.exp(-1.5 * (level - 0.4)));
      return Array.from({ length: 60 }, () => random.uniform()).filter((u) => u < p).length;
    });
    return psychometricFit({ levels, correct, trials: levels.map(() => 60), guess: 0.5 });
  });
  const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const thresholds = fits.map(({ threshold }) => threshold);
  const spread = Math.sqrt(mean(thresholds.map((value) => (value - mean(thresholds)) ** 2)));
  const told = mean(fits.map(({ standardErrors }) => standardErrors.threshold));
  expect(Math.abs(mean(thresholds) - 0.4)).toBeLessThan(0.06);
  expect(spread / told).toBeGreaterThan(0.88);
  expect(spread / told).toBeLessThan(1.12);
  // Deviance of 6 levels and 2 parameters is about χ² with 4.
  expect(mean(fits.map(({ deviance }) => deviance))).toBeGreaterThan(3.4);
  expect(mean(fits.map(({ deviance }) => deviance))).toBeLessThan(4.8);
});

describe('no curve to be had', () => {
  const refuse = (input: Partial<PsychometricFitInput>, code: Parameters<typeof expectRefused>[1], path = 'correct') =>
    expectRefused(() => psychometricFit({ ...five, guess: 0.5, correct: [], ...input }), code, path);

  test('all or none right', () => {
    expect(refuse({ correct: [20, 20, 20, 20, 20] }, 'no-variation').message).toContain('are all right');
    expect(refuse({ correct: [0, 0, 0, 0, 0] }, 'no-variation').message).toContain('no right one');
  });

  test('flat, symmetrical, or never above guessing', () => {
    for (const correct of [
      [15, 15, 15, 15, 15],
      [15, 13, 15, 13, 15],
      [9, 8, 10, 7, 9],
    ]) {
      refuse({ correct }, 'no-variation');
    }
    refuse({ correct: [19, 19, 20, 19, 19], lapse: 0.1 }, 'no-variation');
  });

  test('a step: the slope has no end, and the level of the jump is named', () => {
    for (const [correct, guess] of [
      [[0, 0, 0, 20, 20], 0],
      [[0, 0, 9, 20, 20], 0],
      [[10, 9, 14, 20, 20], 0.5],
      [[20, 20, 14, 9, 10], 0.5],
    ] as const) {
      expect(refuse({ correct, guess }, 'separated').message).toMatch(/jump at level [34] from guessing/);
    }
  });

  test('bad input', () => {
    const correct = [11, 13, 15, 19, 20];
    refuse({ correct, levels: [1, 1, 1, 1, 1] }, 'not-enough-data', 'levels');
    refuse({ correct, levels: [1] }, 'not-enough-data', 'levels');
    refuse({ correct, levels: [1, 2, 3, 4, Number.NaN] }, 'wrong-type', 'levels.4');
    refuse({ correct, levels: [1, 2, 3, 4] }, 'inconsistent', 'trials');
    refuse({ correct: [11, 13] }, 'inconsistent', 'correct');
    refuse({ correct: [11, 13, 15, 19, 21] }, 'out-of-range', 'correct.4');
    refuse({ correct, trials: [20, 20, 20, 20, 0] }, 'out-of-range', 'trials.4');
    refuse({ correct, guess: 1 }, 'out-of-range', 'guess');
    refuse({ correct, guess: -0.1 }, 'out-of-range', 'guess');
    refuse({ correct, lapse: 0.5 }, 'inconsistent', 'lapse');
    // @ts-expect-error no such shape
    refuse({ correct, shape: 'probit' }, 'unknown-choice', 'shape');
    // @ts-expect-error no such option
    refuse({ correct, chance: 0.5 }, 'unknown-option', 'chance');
    // @ts-expect-error missing
    expectRefused(() => psychometricFit({ ...five, correct }), 'missing', 'guess');
  });
});

test('many trials and distant levels keep their digits', () => {
  const trials = five.trials.map(() => 1e9);
  const share = (level: number) => 0.5 + 0.5 / (1 + Math.exp(-1.3 * (level - 2.7)));
  const got = psychometricFit({
    ...five,
    trials,
    correct: five.levels.map((l) => Math.round(1e9 * share(l))),
    guess: 0.5,
  });
  expectClose(got.threshold, 2.7, { relative: 1e-8, absolute: 0 }, 'threshold');
  expectClose(got.slope, 1.3, { relative: 1e-8, absolute: 0 }, 'slope');
  expect(got.deviance).toBeLessThan(1e-6);
});

test.each([
  // Threshold, slope and log likelihood by R 4.2.2, optim on the likelihood of the definition, from many starts.
  [
    'one level far off',
    { levels: [1, 2, 3, 50], correct: [11, 13, 16, 19], trials: [20, 20, 20, 20], guess: 0.5, lapse: 0.02 },
    2.6089,
    1.3157,
    -6.2446,
  ],
  [
    'one level farther off',
    { levels: [1, 2, 3, 100], correct: [11, 14, 18, 19], trials: [20, 20, 20, 20], guess: 0.5, lapse: 0.02 },
    2.1661,
    1.9154,
    -5.939,
  ],
  [
    'few trials',
    {
      levels: [1, 2, 3, 4, 5, 6],
      correct: [1, 0, 0, 1, 1, 4],
      trials: [3, 1, 3, 3, 4, 4],
      guess: 0.02,
      shape: 'normal',
    },
    4.973,
    1.2015,
    -6.068,
  ],
  [
    'octaves',
    {
      levels: [125, 250, 500, 1000, 2000, 4000],
      correct: [2, 22, 5, 2, 33, 15],
      trials: [14, 39, 5, 4, 33, 15],
      guess: 0.02,
      lapse: 0.02,
      shape: 'normal',
    },
    233.7,
    0.0106,
    -10.443,
  ],
  [
    'nearly a step',
    { levels: [1, 2, 3], correct: [0, 2, 7], trials: [8, 6, 8], guess: 0.02, lapse: 0.09, shape: 'normal' },
    2.1743,
    2.3958,
    -2.2346,
  ],
  [
    'nearly flat',
    { levels: [4, 16, 64], correct: [4, 14, 1], trials: [23, 30, 17], guess: 0.25, lapse: 0.02 },
    -79.09,
    -0.02866,
    -9.9286,
  ],
  [
    'an end without a level near',
    { levels: [1, 2, 3, 1e9], correct: [1, 5, 9, 10], trials: [10, 10, 10, 10], guess: 0 },
    2,
    2.1972,
    -3.2985,
  ],
] as const)('the likeliest curve, where it is hard to find: %s', (_, input, threshold, slope, logLik) => {
  const got = psychometricFit(input);
  expectClose(got.threshold, threshold, { relative: 2e-4, absolute: 0 }, 'threshold');
  expectClose(got.slope, slope, { relative: 3e-3, absolute: 0 }, 'slope');
  expectClose(got.logLik, logLik, { relative: 0, absolute: 1e-3 }, 'log likelihood');
});
