import fc from 'fast-check';
import { expect, test } from 'vitest';
import { normalQuantile } from '../../stats/distributions';
import { proportionInterval, proportionIntervalMethods } from '../../stats/proportion-interval';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Method = (typeof proportionIntervalMethods)[number];
type Case = ReferenceCase<{ correct: number; trials: number; level: number }, Record<Method, [number, number]>>;

test.each(references<Case[]>('proportion-interval'))(
  '$id: $source',
  ({ inputs, expected, tolerance, published, id }) => {
    for (const method of proportionIntervalMethods) {
      const got = proportionInterval({ ...inputs, method });
      expectClose(got.lower, expected[method][0], tolerance, `${id} ${method} lower`);
      expectClose(got.upper, expected[method][1], tolerance, `${id} ${method} upper`);
      const key = {
        'clopper-pearson': 'clopper_pearson',
        'mid-p': 'midp',
        wilson: 'wilson',
        jeffreys: '',
        'agresti-coull': '',
      };
      for (const [side, limit] of [
        ['1', got.lower],
        ['2', got.upper],
      ] as const) {
        const printed = published?.[`${key[method]}/${side}`];
        // Newcombe (1998) and Agresti & Coull (1998) as printed; values from memory, as the case says.
        if (printed) expectClose(limit, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
      }
    }
  },
);

test('every method holds the estimate, mirrors and lies in 0 … 1', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 200 }),
      fc.nat(),
      fc.constantFrom(...proportionIntervalMethods),
      fc.double({ min: 0.5, max: 0.999, noNaN: true }),
      (trials, pick, method, level) => {
        const correct = pick % (trials + 1);
        const { lower, upper } = proportionInterval({ correct, trials, level, method });
        const share = correct / trials;
        expect(lower).toBeGreaterThanOrEqual(0);
        expect(upper).toBeLessThanOrEqual(1);
        // Agresti–Coull is centred elsewhere and may miss an estimate at the very end by rounding only.
        expect(lower).toBeLessThanOrEqual(share + 1e-12);
        expect(upper).toBeGreaterThanOrEqual(share - 1e-12);
        const mirror = proportionInterval({ correct: trials - correct, trials, level, method });
        expectClose(1 - mirror.upper, lower, { relative: 0, absolute: 1e-9 }, 'mirror');
      },
    ),
    { seed: 4, numRuns: 200 },
  );
});

const anyInterval = fc
  .tuple(
    fc.integer({ min: 1, max: 200 }),
    fc.nat(),
    fc.constantFrom(...proportionIntervalMethods),
    fc.double({ min: 0.5, max: 0.999, noNaN: true }),
  )
  .map(([trials, pick, method, level]) => ({ trials, correct: pick % (trials + 1), method, level }));

test('the interval shrinks with the trials, widens with the level and rises with the count', () => {
  fc.assert(
    fc.property(anyInterval, (input) => {
      const { lower, upper } = proportionInterval(input);
      const more = proportionInterval({ ...input, trials: 3 * input.trials, correct: 3 * input.correct });
      expect(more.upper - more.lower).toBeLessThan(upper - lower);
      const wider = proportionInterval({ ...input, level: (1 + input.level) / 2 });
      expect(wider.upper - wider.lower).toBeGreaterThan(upper - lower);
      if (input.correct === input.trials) return;
      const better = proportionInterval({ ...input, correct: input.correct + 1 });
      expect(better.lower).toBeGreaterThanOrEqual(lower);
      expect(better.upper).toBeGreaterThanOrEqual(upper);
    }),
    { seed: 71, numRuns: 150 },
  );
});

const tight = { relative: 1e-11, absolute: 0 };

/** All outcomes beyond the count, and half of the count itself, by writing out the binomial coefficients. */
function tails(correct: number, trials: number, share: number) {
  let [below, at, above] = [0, 0, 0];
  let ways = 1;
  for (let k = 0; k <= trials; k++) {
    const p = ways * share ** k * (1 - share) ** (trials - k);
    if (k < correct) below += p;
    else if (k > correct) above += p;
    else at = p;
    ways = (ways * (trials - k)) / (k + 1);
  }
  return { below, at, above };
}

test('every count out of 12: where Clopper–Pearson and mid-p end, the tails are half of 1 − level', () => {
  for (let correct = 0; correct <= 12; correct++) {
    for (const [method, own] of [
      ['clopper-pearson', 1],
      ['mid-p', 0.5],
    ] as const) {
      const { lower, upper } = proportionInterval({ correct, trials: 12, level: 0.9, method });
      const what = `${method} ${correct}`;
      const [low, high] = [tails(correct, 12, lower), tails(correct, 12, upper)];
      if (correct === 0) expect(lower).toBe(0);
      else expectClose(low.above + own * low.at, 0.05, tight, `${what} lower`);
      if (correct === 12) expect(upper).toBe(1);
      else expectClose(high.below + own * high.at, 0.05, tight, `${what} upper`);
    }
  }
});

test('where Wilson ends, the share seen is z standard errors of that limit away; Agresti–Coull holds it', () => {
  for (let correct = 0; correct <= 15; correct++) {
    const z = normalQuantile(0.975);
    const { lower, upper } = proportionInterval({ correct, trials: 15, method: 'wilson' });
    for (const [limit, end] of [
      [lower, correct === 0],
      [upper, correct === 15],
    ] as const) {
      const away = Math.abs(correct / 15 - limit);
      if (!end) expectClose(away, z * Math.sqrt((limit * (1 - limit)) / 15), tight, `${correct}`);
    }
    const wider = proportionInterval({ correct, trials: 15, method: 'agresti-coull' });
    expect(wider.lower <= lower && wider.upper >= upper).toBe(true);
  }
});

test('Clopper–Pearson never misses the level, whatever the truth', () => {
  for (const trials of [1, 5, 12]) {
    const intervals = Array.from({ length: trials + 1 }, (_, correct) => proportionInterval({ correct, trials }));
    for (let share = 0.005; share < 1; share += 0.005) {
      let covered = 0;
      intervals.forEach(({ lower, upper }, correct) => {
        if (lower <= share && share <= upper) covered += tails(correct, trials, share).at;
      });
      expect(covered, `${trials} at ${share}`).toBeGreaterThanOrEqual(0.95);
    }
  }
});

test('where Jeffreys ends, the beta of the counts and a half has half of 1 − level beyond', () => {
  // One trial, one right: Beta(3/2, 1/2), whose distribution is (2/π)·(asin √x − √(x(1 − x))).
  const { lower, upper } = proportionInterval({ correct: 1, trials: 1, method: 'jeffreys' });
  const below = (2 / Math.PI) * (Math.asin(Math.sqrt(lower)) - Math.sqrt(lower * (1 - lower)));
  expectClose(below, 0.025, { relative: 1e-10, absolute: 0 }, 'lower');
  expect(upper).toBe(1);
});

test('one of a million: the far end keeps its digits', () => {
  // P(X ≥ 1) = 1 − (1 − p)ⁿ = 0.025 and P(X = 0) = 0.025, in closed form.
  const n = 1e6;
  const { lower } = proportionInterval({ correct: 1, trials: n });
  expectClose(lower, -Math.expm1(Math.log1p(-0.025) / n), tight, 'lower');
  const { upper } = proportionInterval({ correct: 0, trials: n });
  expectClose(upper, -Math.expm1(Math.log(0.025) / n), { relative: 1e-10, absolute: 0 }, 'upper');
  const none = proportionInterval({ correct: 0, trials: n, method: 'mid-p' });
  expectClose(none.upper, -Math.expm1(Math.log(0.05) / n), { relative: 1e-10, absolute: 0 }, 'mid-p upper');
});

test('none right and all right have an end of their own', () => {
  for (const trials of [1, 8, 1e5]) {
    for (const method of proportionIntervalMethods) {
      expect(proportionInterval({ correct: 0, trials, method }).lower).toBe(0);
      expect(proportionInterval({ correct: trials, trials, method }).upper).toBe(1);
    }
  }
});

test('bad input', () => {
  expectRefused(() => proportionInterval({ correct: 0, trials: 0 }), 'out-of-range', 'trials');
  expectRefused(() => proportionInterval({ correct: 3, trials: 2 }), 'out-of-range', 'correct');
  expectRefused(() => proportionInterval({ correct: 0.5, trials: 2 }), 'wrong-type', 'correct');
  expectRefused(() => proportionInterval({ correct: 1, trials: 2, level: 95 }), 'out-of-range', 'level');
  const wald = { correct: 1, trials: 2, method: 'wald' } as const;
  // @ts-expect-error no such method
  const error = expectRefused(() => proportionInterval(wald), 'unknown-choice', 'method');
  expect(error.message).toContain('wilson');
});
