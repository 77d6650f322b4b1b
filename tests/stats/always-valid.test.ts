import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type AlwaysValidInput, alwaysValid } from '../../stats/always-valid';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

interface Path {
  logE: number[];
  p: number[];
  rejectedAt: number | null;
}
type Case = ReferenceCase<
  { p0: number; priorA: number; priorB: number; outcomes: number[] },
  { 'two-sided': Path; greater: Path }
>;
type LimitCase = ReferenceCase<
  { correct: number; trials: number; priorA: number; priorB: number; alpha: number },
  { lower: number; upper: number }
>;

test.each(references<Case[]>('always-valid'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  for (const alternative of ['two-sided', 'greater'] as const) {
    const { logE, p, rejectedAt } = expected[alternative];
    const result = alwaysValid({ ...inputs, alternative });
    expect(result.logE).toHaveLength(logE.length);
    for (const [i, log] of logE.entries()) {
      expectClose(result.logE[i], log, tolerance, `${id} ${alternative} after ${i + 1}`);
      const soFar = alwaysValid({ ...inputs, alternative, outcomes: inputs.outcomes.slice(0, i + 1) });
      expectClose(soFar.p, p[i] ?? Number.NaN, tolerance, `${id} ${alternative} p after ${i + 1}`);
      expectClose(soFar.eValue, Math.exp(log), tolerance, `${id} ${alternative} e after ${i + 1}`);
    }
    expect(result.rejectedAt, `${id} ${alternative}`).toBe(rejectedAt);
  }
});

test.each(references<LimitCase[]>('always-valid-limits'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const { correct, trials, ...prior } = inputs;
  const right = Array<number>(correct).fill(1);
  const wrong = Array<number>(trials - correct).fill(0);
  for (const outcomes of [
    [...right, ...wrong],
    [...wrong, ...right],
  ]) {
    const { lower, upper } = alwaysValid({ ...prior, p0: 0.5, outcomes });
    expectClose(lower, expected.lower, tolerance, `${id} lower`);
    expectClose(upper, expected.upper, tolerance, `${id} upper`);
  }
});

/** All sequences of so many answers, each with its probability. */
function sequences(length: number, share: number): { outcomes: number[]; probability: number }[] {
  return Array.from({ length: 2 ** length }, (_, code) => {
    const outcomes = Array.from({ length }, (_, i) => Math.floor(code / 2 ** i) % 2);
    return { outcomes, probability: outcomes.reduce((p, right) => p * (right ? share : 1 - share), 1) };
  });
}

test.each([
  { p0: 0.5, alternative: 'greater', alpha: 0.2, priorA: 1, priorB: 1 },
  { p0: 1 / 3, alternative: 'greater', alpha: 0.05, priorA: 2, priorB: 1 },
  { p0: 0.5, alternative: 'less', alpha: 0.2, priorA: 0.5, priorB: 0.5 },
  { p0: 2 / 3, alternative: 'less', alpha: 0.1, priorA: 1, priorB: 3 },
  { p0: 0.5, alternative: 'two-sided', alpha: 0.2, priorA: 1, priorB: 1 },
  { p0: 1 / 3, alternative: 'two-sided', alpha: 0.05, priorA: 0.5, priorB: 0.5 },
] as const)(
  'under guessing e is worth 1 on average and ever reaches 1/alpha with at most alpha, by all sequences: %o',
  (input) => {
    let worth = 0;
    let rejected = 0;
    for (const { outcomes, probability } of sequences(10, input.p0)) {
      const { eValue, p, rejectedAt } = alwaysValid({ ...input, outcomes });
      worth += (eValue ?? Number.NaN) * probability;
      if (rejectedAt !== null) rejected += probability;
      expect(rejectedAt !== null).toBe(p <= input.alpha * (1 + 1e-12));
    }
    expectClose(worth, 1, rounding, 'mean');
    expect(rejected).toBeGreaterThan(0);
    expect(rejected).toBeLessThanOrEqual(input.alpha);
  },
);

test('one-sided, the null holds every share on the other side', () => {
  for (const [alternative, share] of [
    ['greater', 0.35],
    ['less', 0.65],
  ] as const) {
    let worth = 0;
    for (const { outcomes, probability } of sequences(8, share)) {
      worth += (alwaysValid({ p0: 0.5, outcomes, alternative }).eValue ?? Number.NaN) * probability;
    }
    expect(worth).toBeLessThan(1);
  }
});

/** The mixture by adding up the likelihood ratio over the shares, in steps. */
function integrated(right: number, wrong: number, p0: number, a: number, b: number, from: number, to: number): number {
  const steps = 2000;
  let mixed = 0;
  let prior = 0;
  for (let i = 0; i <= steps; i++) {
    const p = from + ((to - from) * i) / steps;
    const simpson = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
    const density = simpson * p ** (a - 1) * (1 - p) ** (b - 1);
    prior += density;
    mixed += density * (p / p0) ** right * ((1 - p) / (1 - p0)) ** wrong;
  }
  return mixed / prior;
}

const answers = fc.array(fc.integer({ min: 0, max: 1 }), { minLength: 1, maxLength: 30 });
const inner = fc.double({ min: 0.05, max: 0.95, noNaN: true });

test('e is the mean likelihood ratio over the prior, cut where one-sided', () => {
  fc.assert(
    fc.property(
      answers,
      inner,
      fc.integer({ min: 1, max: 4 }),
      fc.integer({ min: 1, max: 4 }),
      (outcomes, p0, priorA, priorB) => {
        const right = outcomes.filter((one) => one === 1).length;
        const wrong = outcomes.length - right;
        for (const [alternative, from, to] of [
          ['greater', p0, 1],
          ['less', 0, p0],
          ['two-sided', 0, 1],
        ] as const) {
          const { eValue } = alwaysValid({ p0, outcomes, priorA, priorB, alternative });
          const mean = integrated(right, wrong, p0, priorA, priorB, from, to);
          expectClose(eValue, mean, { relative: 1e-7, absolute: 0 }, `${alternative} ${right}:${wrong} at ${p0}`);
        }
      },
    ),
    { seed: 12, numRuns: 100 },
  );
});

test('right and wrong mirrored is the same', () => {
  fc.assert(
    fc.property(
      answers,
      inner,
      fc.double({ min: 0.2, max: 30, noNaN: true }),
      fc.double({ min: 0.2, max: 30, noNaN: true }),
      (outcomes, p0, a, b) => {
        const flipped = outcomes.map((one) => 1 - one);
        for (const [alternative, other] of [
          ['greater', 'less'],
          ['less', 'greater'],
          ['two-sided', 'two-sided'],
        ] as const) {
          const one = alwaysValid({ p0, outcomes, priorA: a, priorB: b, alternative });
          const two = alwaysValid({ p0: 1 - p0, outcomes: flipped, priorA: b, priorB: a, alternative: other });
          const close = { relative: 1e-10, absolute: 1e-10 };
          for (const [i, log] of one.logE.entries()) expectClose(two.logE[i], log, close, `${alternative} ${i}`);
          expectClose(two.upper, 1 - one.lower, close, 'lower');
          expectClose(two.lower, 1 - one.upper, close, 'upper');
          expectClose(two.runningUpper, 1 - one.runningLower, close, 'running lower');
          expectClose(two.runningLower, 1 - one.runningUpper, close, 'running upper');
        }
      },
    ),
    { seed: 13, numRuns: 100 },
  );
});

test('the limits are the shares whose evidence is 1/alpha, the running ones their intersection', () => {
  fc.assert(
    fc.property(answers, fc.double({ min: 0.001, max: 0.9, noNaN: true }), (outcomes, alpha) => {
      const result = alwaysValid({ p0: 0.5, outcomes, alpha });
      const { lower, upper, runningLower, runningUpper, runningEmpty } = result;
      const share = outcomes.reduce((sum, one) => sum + one, 0) / outcomes.length;
      expect(lower).toBeLessThanOrEqual(share);
      expect(upper).toBeGreaterThanOrEqual(share);
      const against = (p0: number) => alwaysValid({ p0, outcomes, alpha, alternative: 'two-sided' });
      for (const limit of [lower, upper]) {
        if (limit === 0 || limit === 1) continue;
        expectClose(against(limit).logE.at(-1), -Math.log(alpha), { relative: 1e-10, absolute: 1e-10 }, 'evidence');
      }
      const each = outcomes.map((_, i) => alwaysValid({ p0: 0.5, outcomes: outcomes.slice(0, i + 1), alpha }));
      expect(runningLower).toBe(Math.max(...each.map((one) => one.lower)));
      expect(runningUpper).toBe(Math.min(...each.map((one) => one.upper)));
      expect(runningEmpty).toBe(runningLower > runningUpper);
      // What was ever rejected is outside, what never was is inside.
      for (const p0 of [0.1, 0.3, 0.5, 0.7, 0.9]) {
        expect(against(p0).rejectedAt === null, `${p0}`).toBe(p0 > runningLower && p0 < runningUpper);
      }
      const wider = alwaysValid({ p0: 0.5, outcomes, alpha: alpha / 2 });
      expect(wider.lower).toBeLessThanOrEqual(lower);
      expect(wider.upper).toBeGreaterThanOrEqual(upper);
    }),
    { seed: 14, numRuns: 100 },
  );
});

test('more answers of the same share narrow the limits', () => {
  let before = 1;
  for (const times of [1, 2, 5, 20, 100]) {
    const outcomes = Array(times).fill([1, 1, 0]).flat();
    const { lower, upper } = alwaysValid({ p0: 0.5, outcomes });
    expect(upper - lower).toBeLessThan(before);
    before = upper - lower;
  }
});

test('no answer yet leaves everything open', () => {
  expect(alwaysValid({ p0: 0.5, outcomes: [] })).toEqual({
    eValue: 1,
    overflow: false,
    logE: [],
    p: 1,
    rejectedAt: null,
    lower: 0,
    upper: 1,
    runningLower: 0,
    runningUpper: 1,
    runningEmpty: false,
  });
});

test('a bound that is met counts as reached', () => {
  // All right against one half with a flat prior: e = 2ⁿ/(n + 1).
  const after = (alpha: number) =>
    alwaysValid({ p0: 0.5, outcomes: [1, 1, 1, 1, 1, 1, 1], alpha, alternative: 'two-sided' }).rejectedAt;
  expect(after(8 / 2 ** 7)).toBe(7);
  expect(after(7 / 2 ** 6)).toBe(6);
  expect(after((7 / 2 ** 6) * (1 - 1e-9))).toBe(7);
});

test('where right answers change into wrong ones no constant share is left, and it says so', () => {
  const outcomes = [...Array(100).fill(1), ...Array(300).fill(0)];
  const { lower, upper, runningLower, runningUpper, runningEmpty } = alwaysValid({ p0: 0.5, outcomes });
  expect(runningEmpty).toBe(true);
  expect(runningLower).toBeGreaterThan(runningUpper);
  expect(lower).toBeLessThan(upper);
});

test('an e-value beyond the largest double is null and says so, its logarithm stays', () => {
  const outcomes = Array<number>(2000).fill(1);
  const { eValue, overflow, logE, p } = alwaysValid({ p0: 0.5, outcomes });
  // The prior cut to the upper half: (2^2001 − 1)/2001.
  expectClose(logE.at(-1), 2001 * Math.LN2 - Math.log(2001), rounding, 'logE');
  expect([eValue, overflow, p]).toEqual([null, true, 0]);
  const before = alwaysValid({ p0: 0.5, outcomes: outcomes.slice(0, 1000) });
  expect(before.overflow).toBe(false);
  expectClose(before.eValue, 2 ** 1001 / 1001, { relative: 1e-10, absolute: 0 }, 'e');
  expectClose(before.p, 1001 / 2 ** 1001, { relative: 1e-10, absolute: 0 }, 'p');
});

test('all evidence on the other side is small, not nothing, and exact after a hundred thousand answers', () => {
  // All wrong against a flat prior above one half: e = 1/(n + 1).
  const { logE, p } = alwaysValid({ p0: 0.5, outcomes: Array<number>(100_000).fill(0) });
  for (const n of [1, 10, 1000, 100_000]) expectClose(logE[n - 1], -Math.log(n + 1), rounding, `${n}`);
  expect(p).toBe(1);
});

test('priors that lie on one side of p0 and odd ones give finite figures', () => {
  for (const [priorA, priorB] of [
    [1e-6, 1],
    [1, 1e-6],
    [1e-6, 1e-6],
    [1e6, 1],
    [1, 1e6],
    [1e6, 1e6],
  ] as const) {
    for (const p0 of [1e-9, 1 / 3, 0.999999]) {
      for (const alternative of ['greater', 'less', 'two-sided'] as const) {
        const result = alwaysValid({ p0, outcomes: [1, 0, 1, 1, 0], priorA, priorB, alternative });
        expect(result.logE.every(Number.isFinite), `${priorA} ${priorB} ${p0} ${alternative}`).toBe(true);
        expect(result.lower).toBeLessThan(result.upper);
      }
    }
  }
});

const input = { p0: 0.5, outcomes: [1, 0] };
test.each([
  [{ p0: 1 }, 'out-of-range', 'p0'],
  [{ p0: undefined }, 'missing', 'p0'],
  [{ p0: Number.POSITIVE_INFINITY }, 'wrong-type', 'p0'],
  [{ outcomes: '1011' }, 'wrong-type', 'outcomes'],
  [{ outcomes: [1, -1] }, 'out-of-range', 'outcomes.1'],
  [{ outcomes: ['1'] }, 'wrong-type', 'outcomes.0'],
  [{ alpha: 0 }, 'out-of-range', 'alpha'],
  [{ priorA: 0 }, 'out-of-range', 'priorA'],
  [{ priorB: -1 }, 'out-of-range', 'priorB'],
  [{ priorA: 1e7 }, 'out-of-range', 'priorA'],
  [{ priorB: '1' }, 'wrong-type', 'priorB'],
  [{ alternative: 'bigger' }, 'unknown-choice', 'alternative'],
  [{ prior: 1 }, 'unknown-option', 'prior'],
] as const)('bad input is refused: %o', (change, code, path) => {
  expectRefused(() => alwaysValid({ ...input, ...change } as unknown as AlwaysValidInput), code, path);
});
