import fc from 'fast-check';
import { expect, test } from 'vitest';
import { dPrime } from '../../stats/d-prime';
import { normalCdf, normalQuantile } from '../../stats/distributions';
import { proportionCorrect } from '../../stats/proportion-correct';
import { type ThurstonianMethod, thurstonianMethods } from '../../stats/thurstonian';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Column = (number | null)[];
type Case = ReferenceCase<
  { method: ThurstonianMethod; correct: number[]; trials: number },
  { dPrime: Column; standardError?: Column; lower?: Column; upper?: Column }
>;

test.each(references<Case[]>('d-prime'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const { method, trials } = inputs;
  inputs.correct.forEach((correct, i) => {
    const got = dPrime({ method, correct, trials });
    for (const field of ['dPrime', 'standardError', 'lower', 'upper'] as const) {
      const value = expected[field]?.[i];
      if (value === null) expect(got[field], `${id} ${field}`).toBeNull();
      else if (value !== undefined) expectClose(got[field], value, tolerance, `${id} ${field} of ${correct}`);
    }
    expect(got.unbounded).toBe(correct === trials);
  });
});

const chanceOf = (method: ThurstonianMethod) => proportionCorrect({ method, dPrime: 0 }).proportion;

/** Straight from the definition: the log likelihood as a function of d′, its maximum, and where it has fallen enough. */
function searched(method: ThurstonianMethod, correct: number, trials: number, level: number) {
  const logLik = (d: number) => {
    const p = proportionCorrect({ method, dPrime: d }).proportion;
    const part = (count: number, share: number) => (count === 0 ? 0 : count * Math.log(share));
    return part(correct, p) + part(trials - correct, 1 - p);
  };
  const bisect = (low: number, high: number, beyond: (d: number) => boolean) => {
    let [from, to] = [low, high];
    for (let i = 0; i < 100; i++) {
      const middle = (from + to) / 2;
      if (beyond(middle)) to = middle;
      else from = middle;
    }
    return (from + to) / 2;
  };
  const share = correct / trials;
  const most = 25;
  const best =
    correct === trials ? most : bisect(0, most, (d) => proportionCorrect({ method, dPrime: d }).proportion > share);
  const z = normalQuantile((1 - level) / 2);
  const fallen = (d: number) => 2 * (logLik(best) - logLik(d)) > z * z;
  return {
    dPrime: share <= chanceOf(method) ? 0 : best,
    lower: fallen(0) ? bisect(0, best, (d) => !fallen(d)) : 0,
    upper: bisect(best, most, fallen),
  };
}

test('every count out of 9, every method, by searching the likelihood', () => {
  for (const method of thurstonianMethods) {
    for (const level of [0.5, 0.95]) {
      for (let correct = 0; correct <= 9; correct++) {
        const got = dPrime({ method, correct, trials: 9, level });
        const expected = searched(method, correct, 9, level);
        const what = `${method} ${correct} of 9 at ${level}`;
        const near = { relative: 1e-6, absolute: 1e-6 };
        expectClose(got.lower, expected.lower, near, `${what} lower`);
        if (correct === 9) expect([got.dPrime, got.upper, got.unbounded]).toEqual([null, null, true]);
        else {
          expectClose(got.dPrime, expected.dPrime, near, what);
          expectClose(got.upper, expected.upper, near, `${what} upper`);
        }
      }
    }
  }
});

test('the standard error is that of the share over the growth of the share with d′', () => {
  for (const method of thurstonianMethods) {
    const { dPrime: d, standardError } = dPrime({ method, correct: 31, trials: 44 });
    const at = (shift: number) => proportionCorrect({ method, dPrime: (d as number) + shift }).proportion;
    const share = 31 / 44;
    const slope = (8 * (at(1e-3) - at(-1e-3)) - (at(2e-3) - at(-2e-3))) / 0.012;
    const expected = Math.sqrt((share * (1 - share)) / 44) / slope;
    expectClose(standardError, expected, { relative: 1e-9, absolute: 0 }, method);
  }
});

const anyCount = fc
  .tuple(fc.constantFrom(...thurstonianMethods), fc.integer({ min: 1, max: 300 }), fc.nat())
  .map(([method, trials, pick]) => ({ method, trials, correct: pick % (trials + 1) }));

test('the interval holds the estimate, widens with the level, shrinks with the trials and rises with the count', () => {
  fc.assert(
    fc.property(anyCount, fc.double({ min: 0.01, max: 0.999, noNaN: true }), ({ method, trials, correct }, level) => {
      const input = { method, trials, correct, level };
      const open = (value: number | null) => value ?? Number.POSITIVE_INFINITY;
      const got = dPrime(input);
      const d = open(got.dPrime);
      const [lower, upper] = [got.lower, open(got.upper)];
      expect(lower <= d * (1 + 1e-12) && d <= upper * (1 + 1e-12), JSON.stringify({ input, got })).toBe(true);
      const wider = dPrime({ ...input, level: (1 + level) / 2 });
      expect(wider.lower).toBeLessThanOrEqual(lower);
      expect(open(wider.upper)).toBeGreaterThanOrEqual(upper);
      if (correct < trials) {
        const more = dPrime({ ...input, trials: 4 * trials, correct: 4 * correct });
        expect(open(more.upper) - more.lower).toBeLessThanOrEqual((upper - lower) * (1 + 1e-12));
        const better = dPrime({ ...input, correct: correct + 1 });
        expect(better.lower).toBeGreaterThanOrEqual(lower);
        expect(open(better.dPrime)).toBeGreaterThanOrEqual(d);
        expect(open(better.upper)).toBeGreaterThan(upper);
      }
    }),
    { seed: 21, numRuns: 300 },
  );
});

test('the limits of duo-trio and ABX by differencing agree; a method that finds more needs less distance', () => {
  const input = { correct: 40, trials: 60 };
  expect(dPrime({ ...input, method: 'duo-trio' })).toEqual(dPrime({ ...input, method: 'abx-differencing' }));
  const found = (['2-afc', 'abx-independent', 'duo-trio'] as const).map(
    (method) => dPrime({ ...input, method }).dPrime,
  );
  expect(found).toEqual([...found].sort((a, b) => (a as number) - (b as number)));
  expect(dPrime({ ...input, method: 'tetrad' }).dPrime).toBeLessThan(
    dPrime({ ...input, method: 'triangle' }).dPrime as number,
  );
});

test('at and below chance: no distance, no standard error, and an upper limit that falls with the count', () => {
  for (const method of thurstonianMethods) {
    const answers = Math.round(1 / chanceOf(method));
    const uppers: number[] = [];
    for (let correct = 0; correct <= 20; correct++) {
      const got = dPrime({ method, correct, trials: 20 * answers });
      expect(got).toMatchObject({ dPrime: 0, unbounded: false, standardError: null, lower: 0 });
      uppers.push(got.upper as number);
    }
    expect(uppers).toEqual([...uppers].sort((a, b) => a - b));
    expect(uppers[0]).toBeGreaterThan(0);
    const above = dPrime({ method, correct: 21, trials: 20 * answers });
    expect(above.dPrime).toBeGreaterThan(0);
    expect(above.standardError).toBeGreaterThan(0);
  }
  // None right: ℓ = n·log(1 − p), so the limit has 1 − p = (1 − chance)·exp(−z²/2n), here with the normal's closed form.
  const z = normalQuantile(0.025);
  const upper = dPrime({ method: '2-afc', correct: 0, trials: 7 }).upper as number;
  expectClose(normalCdf(-upper / Math.SQRT2), 0.5 * Math.exp((-z * z) / 14), { relative: 1e-13, absolute: 0 }, 'none');
});

test('all right: no end to it, and a lower limit where the likelihood has fallen', () => {
  expect(dPrime({ method: 'triangle', correct: 1, trials: 1 })).toEqual({
    dPrime: null,
    unbounded: true,
    standardError: null,
    lower: 0,
    upper: null,
  });
  const z = normalQuantile(0.025);
  for (const method of thurstonianMethods) {
    const { lower } = dPrime({ method, correct: 25, trials: 25 });
    const { proportion } = proportionCorrect({ method, dPrime: lower });
    expectClose(proportion, Math.exp((-z * z) / 50), { relative: 1e-13, absolute: 0 }, method);
  }
});

test('one wrong of many, one right above chance: nothing is lost to rounding', () => {
  const near = { relative: 1e-11, absolute: 0 };
  const wrong = 1 / 200_000;
  const d = dPrime({ method: '2-afc', correct: 199_999, trials: 200_000 }).dPrime;
  expectClose(d, -Math.SQRT2 * normalQuantile(wrong), near, '2-afc');
  // Φ(d/2)² + Φ(−d/2)² = 1 − 2Φ(d/2)Φ(−d/2), so that Φ(−d/2) solves a quadratic.
  const half = wrong / (1 + Math.sqrt(1 - 2 * wrong));
  const same = dPrime({ method: 'same-different-independent', correct: 199_999, trials: 200_000 }).dPrime;
  expectClose(same, -2 * normalQuantile(half), near, 'same-different');
  // One answer above half of two million: Φ(d/√2) − ½ = 5e-7, nearly straight.
  const small = dPrime({ method: '2-afc', correct: 1_000_001, trials: 2_000_000 }).dPrime;
  expectClose(small, 5e-7 * Math.SQRT2 * Math.sqrt(2 * Math.PI), near, 'hardly any');
  // Computed from ℓ in 40 digits with mpmath 1.3.0.
  const limits = dPrime({ method: '2-afc', correct: 199_999, trials: 200_000 });
  expectClose(limits.lower, 5.777412658814774, near, 'lower');
  expectClose(limits.upper, 7.072360810212711, near, 'upper');
});

test('every result is a number or null, at levels near 0 and 1 too', () => {
  const finite = (value: unknown) => value === null || typeof value === 'boolean' || Number.isFinite(value);
  for (const method of thurstonianMethods) {
    for (const level of [1e-300, 1e-9, 0.3, 0.999999, 1 - 2 ** -53]) {
      for (const trials of [1, 2, 3, 12, 1e9]) {
        for (const correct of [0, 1, Math.floor(trials / 3), Math.floor(trials / 2), trials - 1, trials]) {
          const got = dPrime({ method, correct, trials, level });
          expect(Object.values(got).every(finite), JSON.stringify({ method, level, trials, correct, got })).toBe(true);
          expect(got.lower).toBeGreaterThanOrEqual(0);
        }
      }
    }
  }
});

test('bad input', () => {
  const input = { method: 'triangle', correct: 20, trials: 45 } as const;
  expectRefused(() => dPrime({ ...input, correct: 46 }), 'out-of-range', 'correct');
  expectRefused(() => dPrime({ ...input, correct: -1 }), 'out-of-range', 'correct');
  expectRefused(() => dPrime({ ...input, correct: 2.5 }), 'wrong-type', 'correct');
  expectRefused(() => dPrime({ ...input, trials: 0 }), 'out-of-range', 'trials');
  expectRefused(() => dPrime({ ...input, trials: Number.NaN }), 'wrong-type', 'trials');
  expectRefused(() => dPrime({ ...input, level: 1 }), 'out-of-range', 'level');
  expectRefused(() => dPrime({ ...input, level: 0 }), 'out-of-range', 'level');
  // @ts-expect-error no such method
  expectRefused(() => dPrime({ ...input, method: 'abx' }), 'unknown-choice', 'method');
  // @ts-expect-error chance follows from the method
  expectRefused(() => dPrime({ ...input, chance: 0.5 }), 'unknown-option', 'chance');
  // @ts-expect-error missing
  expectRefused(() => dPrime({ correct: 20, trials: 45 }), 'missing', 'method');
});
