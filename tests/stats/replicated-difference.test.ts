import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import {
  type ListenerCount,
  type ReplicatedDifferenceInput,
  replicatedDifference,
  type SharesOfListeners,
} from '../../stats/replicated-difference';
import { seededRandom } from '../../stats/seeded-random';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

interface Wanted {
  [field: string]: number | boolean | Wanted;
}
type Case = ReferenceCase<ReplicatedDifferenceInput, Wanted>;

function expectAll(got: unknown, wanted: Wanted[string], tolerance: Case['tolerance'], what: string): void {
  if (typeof wanted === 'object') {
    for (const [name, value] of Object.entries(wanted)) {
      expectAll(Reflect.get(got as object, name), value, tolerance, `${what} ${name}`);
    }
  } else if (typeof wanted === 'number') expectClose(got as number, wanted, tolerance, what);
  else expect(got, what).toBe(wanted);
}

test.each(references<Case[]>('replicated-difference'))(
  '$id: $source',
  ({ id, inputs, expected, tolerance, published }) => {
    const got = replicatedDifference(inputs);
    expectAll(got, expected, tolerance, id);
    for (const [path, { value, tolerance: absolute }] of Object.entries(published ?? {})) {
      const at = path.split('/').reduce<unknown>((from, name) => Reflect.get(from as object, name), got);
      expectClose(at as number, value, { relative: 0, absolute }, `${id} ${path}`);
    }
  },
);

const of = (...counts: [correct: number, trials: number][]): ListenerCount[] =>
  counts.map(([correct, trials]) => ({ correct, trials }));

const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n, k - 1) * (n - k + 1)) / k);

/** The likelihood as its definition has it, in plain products; for few trials and gamma below 1. */
function logLikOf(listeners: readonly ListenerCount[], chance: number, mean: number, gamma: number): number {
  const rising = (share: number, count: number) => {
    let product = 1;
    for (let i = 0; i < count; i++) product *= share * (1 - gamma) + i * gamma;
    return product;
  };
  return listeners.reduce((sum, { correct, trials }) => {
    let likelihood = 0;
    for (let heard = 0; heard <= correct; heard++) {
      const wrong = trials - correct;
      const guessed = choose(correct, heard) * chance ** (correct - heard) * (1 - chance) ** (heard + wrong);
      likelihood += (guessed * rising(mean, heard) * rising(1 - mean, wrong)) / rising(1, heard + wrong);
    }
    return sum + Math.log(choose(trials, correct) * likelihood);
  }, 0);
}

const grid = (from: number, to: number, steps: number) =>
  Array.from({ length: steps + 1 }, (_, i) => from + ((to - from) * i) / steps);

/** The largest likelihood over gamma for a mean: a grid, and thirds around its best. */
function profileOf(listeners: readonly ListenerCount[], chance: number, mean: number): number {
  const at = (gamma: number) => logLikOf(listeners, chance, mean, gamma);
  const gammas = grid(0, 1 - 1e-9, 60);
  const best = gammas.reduce((top, gamma, i) => (at(gamma) > at(gammas[top] as number) ? i : top), 0);
  let [low, high] = [gammas[Math.max(0, best - 1)] as number, gammas[Math.min(60, best + 1)] as number];
  for (let i = 0; i < 60; i++) {
    const [one, two] = [low + (high - low) / 3, high - (high - low) / 3];
    if (at(one) < at(two)) low = one;
    else high = two;
  }
  return Math.max(at(low), at(high), at(0), at(1 - 1e-12));
}

/** Studies in which listeners are alike, differ a little, or are of two kinds. */
const anyStudy = fc
  .record({
    chance: fc.constantFrom(0, 1 / 2, 1 / 3, 0.1),
    counts: fc.array(fc.tuple(fc.integer({ min: 1, max: 9 }), fc.nat()), { minLength: 1, maxLength: 6 }),
  })
  .map(({ chance, counts }) => ({
    chance,
    listeners: of(...counts.map(([n, x]): [number, number] => [x % (n + 1), n])),
  }));

describe('against the likelihood’s definition', () => {
  test('no mean and gamma of a grid is likelier, and at the peak the slopes are none', () => {
    fc.assert(
      fc.property(anyStudy, ({ chance, listeners }) => {
        const got = replicatedDifference({ listeners, chance });
        for (const [model, guess] of [
          [got.betaBinomial, 0],
          [got.chanceCorrected, chance],
        ] as const) {
          const at = (mean: number, gamma: number) => logLikOf(listeners, guess, mean, gamma);
          const { mean, gamma, logLik } = model;
          for (const m of grid(0.02, 0.98, 16)) {
            for (const g of grid(0, 0.999, 9)) expect(at(m, g)).toBeLessThanOrEqual(logLik + 1e-9);
          }
          if (mean === 0 || mean === 1) {
            expectClose(logLik, at(mean, 0.5), { relative: 1e-12, absolute: 1e-12 }, 'at an end');
          } else {
            const g = Math.min(gamma ?? 0, 1 - 1e-12);
            expectClose(logLik, at(mean, g), { relative: 1e-9, absolute: 1e-9 }, 'likelihood');
            const h = 1e-4 * Math.min(mean, 1 - mean);
            const slope = (at(mean + h, g) - at(mean - h, g)) / (2 * h);
            const bend = (at(mean + h, g) - 2 * logLik + at(mean - h, g)) / h ** 2;
            expect(Math.abs(slope / bend), 'slope by the mean').toBeLessThan(1e-5 * Math.min(mean, 1 - mean));
            if (gamma !== null && gamma > 0 && gamma < 1) {
              const k = 1e-4 * Math.min(gamma, 1 - gamma);
              const twice = (at(mean, g + k) - 2 * logLik + at(mean, g - k)) / k ** 2;
              const by = (at(mean, g + k) - at(mean, g - k)) / (2 * k);
              expect(Math.abs(by / twice), 'slope by gamma').toBeLessThan(1e-4 * Math.min(gamma, 1 - gamma));
            }
          }
        }
      }),
      { seed: 8, numRuns: 60 },
    );
  });

  test('at the limits the best likelihood has fallen by half of the χ² quantile, beyond them by more', () => {
    fc.assert(
      fc.property(anyStudy, ({ chance, listeners }) => {
        const { betaBinomial, chanceCorrected } = replicatedDifference({ listeners, chance, level: 0.9 });
        // The 0.9 quantile of χ²₁ (R 4.2.2, qchisq(0.9, 1)).
        const drop = 2.705543454095404 / 2;
        const check = ({ logLik, lower, upper, mean }: SharesOfListeners, guess: number) => {
          expect(lower <= mean && mean <= upper).toBe(true);
          const fallen = (at: number) => logLik - profileOf(listeners, guess, at);
          for (const [limit, end] of [
            [lower, 0],
            [upper, 1],
          ] as const) {
            if (limit === end) {
              expect(fallen(Math.abs(end - 1e-9))).toBeLessThanOrEqual(drop + 1e-6);
              continue;
            }
            expectClose(fallen(limit), drop, { relative: 0, absolute: 1e-6 }, `${limit} of ${mean}`);
            expect(fallen(limit + (end - limit) * 0.02)).toBeGreaterThan(drop - 1e-9);
          }
        };
        check(betaBinomial, 0);
        check(chanceCorrected, chance);
      }),
      { seed: 9, numRuns: 25 },
    );
  });
});

/** Beta(k, 1) is the k-th root of an even share: mean k/(k + 1), gamma 1/(k + 2). */
function simulated(seed: number, listeners: number, trials: number, chance: number, k: number): ListenerCount[] {
  const random = seededRandom(seed);
  return Array.from({ length: listeners }, () => {
    const right = chance + (1 - chance) * random.uniform() ** (1 / k);
    let correct = 0;
    for (let i = 0; i < trials; i++) if (random.uniform() < right) correct++;
    return { correct, trials };
  });
}

describe('simulated listeners', () => {
  test('mean and gamma of many are found again', () => {
    for (const [k, chance] of [
      [1, 1 / 2],
      [0.5, 1 / 3],
      [2, 0],
    ] as const) {
      const listeners = simulated(5, 2000, 16, chance, k);
      const { mean, gamma, standardErrors } = replicatedDifference({ listeners, chance }).chanceCorrected;
      const within = (off: number, error: number | null) => expect(Math.abs(off)).toBeLessThan(3 * (error as number));
      within(mean - k / (k + 1), standardErrors.mean);
      within((gamma as number) - 1 / (k + 2), standardErrors.gamma);
      expect(standardErrors.mean).toBeLessThan(0.012);
      expect(standardErrors.gamma).toBeLessThan(0.03);
    }
  });

  test('standard errors are the spread of fits anew, and the interval holds the truth as often as it says', () => {
    const runs = 300;
    const fits = Array.from({ length: runs }, (_, i) => {
      const listeners = simulated(100 + i, 24, 12, 1 / 2, 1);
      return replicatedDifference({ listeners, level: 0.9 }).chanceCorrected;
    });
    const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
    const spread = (values: number[]) => Math.sqrt(mean(values.map((value) => (value - mean(values)) ** 2)));
    const told = mean(fits.map(({ standardErrors }) => standardErrors.mean as number));
    // The spread of 300 is known to 1/√600 = 4 %.
    expect(spread(fits.map((fit) => fit.mean)) / told).toBeGreaterThan(0.88);
    expect(spread(fits.map((fit) => fit.mean)) / told).toBeLessThan(1.12);
    const covered = fits.filter(({ lower, upper }) => lower <= 0.5 && 0.5 <= upper).length / runs;
    // √(0.9·0.1/300) = 1.7 %.
    expect(covered).toBeGreaterThan(0.85);
    expect(covered).toBeLessThan(0.95);
  });

  test('where nobody hears anything, p is that of the pooled counts and the lower limit mostly 0', () => {
    let above = 0;
    for (let seed = 0; seed < 100; seed++) {
      const listeners = simulated(seed, 12, 8, 1, 1).map(({ trials }, i) => {
        const random = seededRandom(`${seed} ${i}`);
        return { trials, correct: Array.from({ length: trials }, () => random.below(2)).filter((x) => x === 1).length };
      });
      const { chanceCorrected, difference } = replicatedDifference({ listeners, level: 0.9 });
      expect(difference.p).toBe(binomialTest({ correct: difference.count, trials: difference.trials }).p);
      if (chanceCorrected.lower > 0) above++;
    }
    // 5 if gamma meant something at mean 0; as it is 7 to 12 (simulated, as the comment of the call says).
    expect(above).toBeLessThanOrEqual(16);
    expect(above).toBeGreaterThan(0);
  });
});

describe('edges', () => {
  const run = (listeners: ListenerCount[], more: Partial<ReplicatedDifferenceInput> = {}) =>
    replicatedDifference({ listeners, ...more });
  const nothing = { mean: null, gamma: null };
  const close = { relative: 1e-10, absolute: 1e-12 };
  const drop = 3.841458820694124 / 2;

  test('everybody all right: mean 1, gamma left open, and a lower limit that counts listeners', () => {
    const { binomial, betaBinomial, chanceCorrected, overdispersion } = run(of([30, 30], [30, 30], [30, 30]));
    expect(binomial).toEqual({ proportion: 1, logLik: 0 });
    const end = {
      mean: 1,
      gamma: null,
      alpha: null,
      beta: null,
      logLik: 0,
      upper: 1,
      boundary: true,
      standardErrors: nothing,
    };
    expect(betaBinomial).toMatchObject(end);
    expect(chanceCorrected).toMatchObject({ ...end, identified: true });
    expect(overdispersion).toEqual({ statistic: 0, p: 1 });
    // With gamma 1 each of three heard it: mean³ = exp(−drop); lucky guesses of 30 are next to none.
    expectClose(betaBinomial.lower, Math.exp(-drop / 3), close, 'plain');
    expectClose(chanceCorrected.lower, Math.exp(-drop / 3), { relative: 1e-8, absolute: 0 }, 'corrected');
  });

  test('nobody right, or never above chance: mean 0, and an upper limit that counts listeners', () => {
    const none = run(of([0, 8], [0, 8]));
    expect(none.betaBinomial).toMatchObject({
      mean: 0,
      gamma: null,
      lower: 0,
      boundary: true,
      standardErrors: nothing,
    });
    expectClose(none.betaBinomial.upper, 1 - Math.exp(-drop / 2), close, 'upper');
    expect(none.difference).toEqual({ count: 0, trials: 16, p: 1 });
    const guessing = run(of([4, 8], [4, 8], [3, 8]));
    expect(guessing.chanceCorrected).toMatchObject({ mean: 0, gamma: null, alpha: null, lower: 0, boundary: true });
    expectClose(guessing.chanceCorrected.upper, 1 - Math.exp(-drop / 3), close, 'upper');
    expect(guessing.betaBinomial).toMatchObject({ gamma: 0, boundary: true, standardErrors: { gamma: null } });
  });

  test('one trial each: the binomial, and no word on how much they differ', () => {
    const { betaBinomial, chanceCorrected, overdispersion } = run(of([1, 1], [1, 1], [0, 1], [1, 1]));
    expect(betaBinomial).toMatchObject({ mean: 0.75, gamma: null, alpha: null, boundary: false, identified: false });
    expectClose(betaBinomial.standardErrors.mean, Math.sqrt(0.1875 / 4), close, 'standard error');
    expectClose(chanceCorrected.standardErrors.mean, 2 * Math.sqrt(0.1875 / 4), close, 'twice that');
    expect(chanceCorrected).toMatchObject({ mean: 0.5, gamma: null, identified: false, lower: 0 });
    expectClose(chanceCorrected.upper, 2 * betaBinomial.upper - 1, close, 'upper');
    const logLik = (p: number) => 3 * Math.log(p) + Math.log(1 - p);
    expectClose(logLik(betaBinomial.upper), logLik(0.75) - drop, close, 'drop');
    expect(overdispersion).toEqual({ statistic: null, p: null });
    expect(run(of([1, 1], [0, 1])).chanceCorrected).toMatchObject({ mean: 0, gamma: null, boundary: true });
  });

  test('more alike than chance would have them: gamma 0 and the binomial', () => {
    const { binomial, betaBinomial, chanceCorrected, overdispersion } = run(of([9, 12], [8, 12], [9, 12], [9, 12]));
    for (const [model, per] of [
      [betaBinomial, 1],
      [chanceCorrected, 2],
    ] as const) {
      expect(model).toMatchObject({ gamma: 0, alpha: null, beta: null, boundary: true, identified: true });
      expectClose(model.logLik, binomial.logLik, close, 'likelihood');
      expectClose(model.standardErrors.mean, per * Math.sqrt((binomial.proportion * (13 / 48)) / 48), close, 'error');
    }
    expectClose(chanceCorrected.mean, 2 * (35 / 48) - 1, close, 'mean');
    expect(overdispersion).toEqual({ statistic: 0, p: 1 });
  });

  test('each always or never: gamma 1, by hand', () => {
    const { betaBinomial, overdispersion, binomial } = run(of([12, 12], [12, 12], [0, 12]));
    expect(betaBinomial).toMatchObject({ gamma: 1, alpha: null, boundary: true, standardErrors: { gamma: null } });
    expectClose(betaBinomial.mean, 2 / 3, close, 'mean');
    expectClose(betaBinomial.logLik, 2 * Math.log(2 / 3) + Math.log(1 / 3), close, 'likelihood');
    expectClose(betaBinomial.standardErrors.mean, Math.sqrt(2 / 27), close, 'error');
    expectClose(overdispersion.statistic, 2 * (betaBinomial.logLik - binomial.logLik), close, 'statistic');
    // Two who were always right beside three about half: with mean m, (m + (1 − m)/2¹²)²·(1 − m)³.
    const { chanceCorrected } = run(of([12, 12], [12, 12], [6, 12], [5, 12], [6, 12]));
    expect(chanceCorrected.gamma).toBe(1);
    const luck = 2 ** -12;
    expectClose(chanceCorrected.mean, (2 - 5 * luck) / (5 * (1 - luck)), close, 'mean of two kinds');
  });

  test('one listener tells of one listener', () => {
    const { chanceCorrected } = run(of([200, 200]));
    expectClose(chanceCorrected.lower, Math.exp(-drop), { relative: 1e-9, absolute: 0 }, 'lower');
    const many = run(of([9000, 12000]));
    expect(many.chanceCorrected).toMatchObject({ mean: 0.5, gamma: 0 });
  });

  test('chance 0: one model; a right answer is then no guess', () => {
    const got = run(of([3, 8], [8, 8], [7, 8]), { chance: 0 });
    expect(got.chanceCorrected).toEqual(got.betaBinomial);
    expect(got.difference.p).toBe(0);
    expect(run(of([0, 8]), { chance: 0 }).difference.p).toBe(1);
    const near = run(of([3, 8], [8, 8], [7, 8]), { chance: 1e-12 }).chanceCorrected;
    expectClose(near.mean, got.betaBinomial.mean, { relative: 1e-9, absolute: 0 }, 'next to it');
  });

  test('a million trials each: shares are as good as known, and their beta is found', () => {
    const shares = [0.12, 0.2, 0.33, 0.41, 0.5, 0.58, 0.71, 0.86];
    const at = (trials: number, chance: number) =>
      run(
        shares.map((share) => ({ correct: Math.round(trials * (chance + (1 - chance) * share)), trials })),
        { chance },
      );
    const sizes = [at(10_000, 0.5), at(1_000_000, 0.5), at(1_000_000, 0)].map(({ chanceCorrected }) => chanceCorrected);
    for (const { mean, gamma } of sizes) {
      // Method of moments is near for a beta that is nearly even: mean 0.46375, variance 0.0549.
      expect(Math.abs(mean - 0.46375)).toBeLessThan(0.01);
      expect(Math.abs((gamma as number) - 0.22)).toBeLessThan(0.03);
    }
    expectClose(sizes[1]?.mean, sizes[2]?.mean as number, { relative: 1e-5, absolute: 0 }, 'with guesses and without');
    expectClose(sizes[1]?.lower, sizes[0]?.lower as number, { relative: 1e-3, absolute: 0 }, 'lower');
  });
});

test('weights are listeners again, and the order of listeners moves no digit', () => {
  fc.assert(
    fc.property(anyStudy, fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 6, maxLength: 6 }), (study, times) => {
      const { chance, listeners } = study;
      const weights = times.slice(0, listeners.length);
      const again = listeners.flatMap((one, i) => Array.from({ length: weights[i] ?? 1 }, () => one));
      const got = replicatedDifference({ listeners, weights, chance });
      expect(got).toEqual(replicatedDifference({ listeners: again, chance }));
      expect(got).toEqual(replicatedDifference({ listeners: again.toReversed(), chance }));
    }),
    { seed: 3, numRuns: 40 },
  );
});

test('every result is a number or null, at levels and chances near the ends too', () => {
  const finite = (value: unknown): boolean =>
    value === null ||
    typeof value === 'boolean' ||
    (typeof value === 'object' ? Object.values(value as object).every(finite) : Number.isFinite(value));
  const studies = [of([0, 1]), of([1, 1]), of([1, 2], [2, 2]), of([8, 8], [5, 8], [4, 8]), of([7, 9], [0, 3])];
  for (const level of [1e-300, 1e-9, 0.5, 1 - 2 ** -53]) {
    for (const chance of [0, 1e-300, 0.5, 0.999, 1 - 2 ** -53]) {
      for (const listeners of studies) {
        const got = replicatedDifference({ listeners, level, chance });
        expect(finite(got), JSON.stringify({ level, chance, got })).toBe(true);
      }
    }
  }
});

test('bad input', () => {
  const good = of([3, 4], [4, 4]);
  const refuse = (input: unknown, code: Parameters<typeof expectRefused>[1], path: string) =>
    expectRefused(() => replicatedDifference(input as ReplicatedDifferenceInput), code, path);
  refuse({ listeners: [] }, 'not-enough-data', 'listeners');
  refuse({}, 'missing', 'listeners');
  refuse({ listeners: of([0, 0]) }, 'out-of-range', 'listeners.0.trials');
  refuse({ listeners: of([3, 4], [5, 4]) }, 'out-of-range', 'listeners.1.correct');
  refuse({ listeners: of([3, 4], [1.5, 4]) }, 'wrong-type', 'listeners.1.correct');
  refuse({ listeners: of([3, 1e6 + 1]) }, 'out-of-range', 'listeners.0.trials');
  refuse({ listeners: [{ correct: 3 }] }, 'missing', 'listeners.0.trials');
  refuse({ listeners: [{ correct: 3, trials: 4, right: 1 }] }, 'unknown-option', 'listeners.0.right');
  refuse({ listeners: good, chance: 1 }, 'out-of-range', 'chance');
  refuse({ listeners: good, chance: -0.1 }, 'out-of-range', 'chance');
  refuse({ listeners: good, level: 1 }, 'out-of-range', 'level');
  refuse({ listeners: good, weights: [1] }, 'inconsistent', 'weights');
  refuse({ listeners: good, weights: [1, 0] }, 'out-of-range', 'weights.1');
  refuse({ listeners: good, weights: [1, 0.5] }, 'wrong-type', 'weights.1');
  refuse({ listeners: good, weights: [1, 1e9] }, 'out-of-range', 'listeners');
  refuse({ listeners: good, weight: [1, 1] }, 'unknown-option', 'weight');
});

describe('listeners with very unlike numbers of trials: two peaks', () => {
  const of = (text: string) =>
    text.split(' ').map((one) => {
      const [correct = 0, trials = 1] = one.split('/').map(Number);
      return { correct, trials };
    });

  test('the higher peak counts', () => {
    // By R 4.2.2, VGAM 1.1-7 (dbetabinom).
    const { betaBinomial, overdispersion } = replicatedDifference({
      listeners: of('2/3 3/3 0/1 2/2 17/40'),
      chance: 0.5,
    });
    expectClose(betaBinomial.mean, 0.596435, { relative: 1e-5, absolute: 0 }, 'mean');
    expectClose(betaBinomial.gamma, 0.100413, { relative: 1e-4, absolute: 0 }, 'gamma');
    expectClose(betaBinomial.logLik, -7.608048, { relative: 0, absolute: 1e-6 }, 'log likelihood');
    expectClose(overdispersion.statistic, 0.0769, { relative: 0, absolute: 1e-4 }, 'statistic');
  });

  test.each([
    // Limits of the profile over 2,060 gammas by the definition, halved in upon; worked out apart from this code.
    ['9/60 1/3 3/3', 0.1486390277562728],
    ['1/1 2/2 20/40 3/3 2/2', 0.4980163294723793],
  ])('%s: the lower limit is where the profile has fallen by the drop', (text, lower) => {
    const { betaBinomial } = replicatedDifference({ listeners: of(text), chance: 0.5 });
    expectClose(betaBinomial.lower, lower, { relative: 1e-6, absolute: 0 }, 'lower');
  });

  test('two stretches of means: the limits hold both', () => {
    const { betaBinomial } = replicatedDifference({ listeners: of('2/2 13/60'), chance: 0.5, level: 0.5 });
    expect(betaBinomial.lower).toBeLessThan(0.21);
    expect(betaBinomial.upper).toBeGreaterThan(0.63);
  });
});
