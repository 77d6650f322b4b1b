import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type SprtDecision, type SprtInput, sprt } from '../../stats/sprt';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Case = ReferenceCase<
  { p0: number; p1: number; alpha: number; beta: number; outcomes?: number[] },
  {
    upper: number;
    lower: number;
    whenRight: number;
    whenWrong: number;
    slope: number;
    rejectLine: number;
    acceptLine: number;
    path?: number[];
    decision?: SprtDecision;
    decidedAt?: number | null;
  }
>;

test.each(references<Case[]>('sprt'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const { outcomes = [], ...plan } = inputs;
  const result = sprt({ ...plan, outcomes });
  const [whenRight = 0] = sprt({ ...plan, outcomes: [1] }).path;
  const [whenWrong = 0] = sprt({ ...plan, outcomes: [0] }).path;
  const slope = -whenWrong / (whenRight - whenWrong);
  // The printed lines are bounds on the count of right answers: the same test, divided by what one right answer adds.
  const rejectLine = result.upper / (whenRight - whenWrong);
  const acceptLine = result.lower / (whenRight - whenWrong);
  const { upper, lower } = result;
  const got = { upper, lower, whenRight, whenWrong, slope, rejectLine, acceptLine };
  for (const [name, value] of Object.entries(got)) {
    const wanted = expected[name as keyof typeof got];
    expectClose(value, wanted, tolerance, `${id} ${name}`);
    const printed = published?.[name];
    if (printed) expectClose(value, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} ${name}`);
  }
  expectClose(result.attainedAlphaBound, plan.alpha / (1 - plan.beta), rounding, `${id} risk`);
  if (expected.path === undefined) return;
  expect(result.path).toHaveLength(outcomes.length);
  for (const [i, ratio] of expected.path.entries()) expectClose(result.path[i], ratio, tolerance, `${id} path ${i}`);
  expect([result.decision, result.decidedAt]).toEqual([expected.decision, expected.decidedAt ?? null]);
});

/** All sequences of so many answers, each with its probability. */
function sequences(length: number, share: number): { outcomes: number[]; probability: number }[] {
  return Array.from({ length: 2 ** length }, (_, code) => {
    const outcomes = Array.from({ length }, (_, i) => Math.floor(code / 2 ** i) % 2);
    return { outcomes, probability: outcomes.reduce((p, right) => p * (right ? share : 1 - share), 1) };
  });
}

const reaching = (plan: Omit<SprtInput, 'outcomes'>, share: number, decision: SprtDecision, length: number) =>
  sequences(length, share).reduce(
    (sum, { outcomes, probability }) => (sprt({ ...plan, outcomes }).decision === decision ? sum + probability : sum),
    0,
  );

test.each([
  { p0: 0.5, p1: 0.75, alpha: 0.2, beta: 0.2 },
  { p0: 1 / 3, p1: 0.6, alpha: 0.05, beta: 0.2 },
  { p0: 0.5, p1: 0.95, alpha: 0.05, beta: 0.01 },
  { p0: 0.1, p1: 0.5, alpha: 0.1, beta: 0.1 },
])('false alarms and misses stay below their bounds, by all sequences: $p0 against $p1', (plan) => {
  const { p0, p1, alpha, beta } = plan;
  const plain = reaching(plan, p0, 'bound-for-difference', 12);
  expect(plain).toBeGreaterThan(0);
  expect(plain).toBeLessThanOrEqual(sprt({ ...plan, outcomes: [] }).attainedAlphaBound);
  expect(reaching(plan, p1, 'bound-for-none', 12)).toBeLessThanOrEqual(beta / (1 - alpha));
  const strict = reaching({ ...plan, strict: true }, p0, 'bound-for-difference', 12);
  expect(strict).toBeLessThanOrEqual(alpha);
  expect(sprt({ ...plan, strict: true, outcomes: [] }).attainedAlphaBound).toBe(alpha);
});

test('Wald’s own bounds can exceed alpha, the strict ones cannot', () => {
  // One right answer multiplies by 1.8, a second gives 3.24, beyond (1 − 0.04)/0.3 = 3.2 but not beyond 1/0.3.
  const plan = { p0: 0.55, p1: 0.99, alpha: 0.3, beta: 0.04 };
  expect(reaching(plan, 0.55, 'bound-for-difference', 10)).toBeGreaterThan(0.3);
  expect(reaching({ ...plan, strict: true }, 0.55, 'bound-for-difference', 10)).toBeLessThanOrEqual(0.3);
});

test('the path is the product of likelihood ratios, and the decision the first bound met', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.05, max: 0.9, noNaN: true }),
      fc.double({ min: 0.01, max: 0.99, noNaN: true }),
      fc.double({ min: 0.001, max: 0.49, noNaN: true }),
      fc.double({ min: 0.001, max: 0.49, noNaN: true }),
      fc.array(fc.integer({ min: 0, max: 1 }), { maxLength: 60 }),
      fc.boolean(),
      (p0, part, alpha, beta, outcomes, strict) => {
        const p1 = p0 + part * (1 - p0);
        const result = sprt({ p0, p1, alpha, beta, outcomes, strict });
        let ratio = 1;
        let decision = 'continue';
        let decidedAt: number | null = null;
        outcomes.forEach((right, i) => {
          ratio *= right ? p1 / p0 : (1 - p1) / (1 - p0);
          expectClose(result.path[i], Math.log(ratio), { relative: 1e-10, absolute: 1e-10 }, `after ${i + 1}`);
          if (decision !== 'continue') return;
          if (ratio >= (strict ? 1 : 1 - beta) / alpha) decision = 'bound-for-difference';
          if (ratio <= beta / (1 - alpha)) decision = 'bound-for-none';
          if (decision !== 'continue') decidedAt = i + 1;
        });
        expect([result.decision, result.decidedAt]).toEqual([decision, decidedAt]);
        // What comes after the decision changes nothing.
        const stopped = sprt({ p0, p1, alpha, beta, outcomes: outcomes.slice(0, decidedAt ?? undefined), strict });
        expect([stopped.decision, stopped.decidedAt]).toEqual([decision, decidedAt]);
      },
    ),
    { seed: 11, numRuns: 200 },
  );
});

test.each([
  // A right answer doubles the ratio, a wrong one takes two thirds of it: (1 − 0.2)/0.2 = 4.
  [{ p0: 0.25, p1: 0.5, alpha: 0.2, beta: 0.2, outcomes: [1, 1] }, 'bound-for-difference', 2],
  // A wrong answer halves it: 0.2/(1 − 0.2) = 1/4.
  [{ p0: 0.5, p1: 0.75, alpha: 0.2, beta: 0.2, outcomes: [0, 0, 1, 1, 1, 1, 1, 1] }, 'bound-for-none', 2],
  [{ p0: 0.25, p1: 0.5, alpha: 1 / 8, beta: 0.2, outcomes: [1, 1, 1], strict: true }, 'bound-for-difference', 3],
  [
    { p0: 0.5, p1: 0.6, alpha: 1.2 ** -7, beta: 0.2, outcomes: Array(7).fill(1), strict: true },
    'bound-for-difference',
    7,
  ],
] as const)('a bound that is met counts as crossed: %o', (input, decision, decidedAt) => {
  const result = sprt(input);
  expect([result.decision, result.decidedAt]).toEqual([decision, decidedAt]);
  expect(result.path).toHaveLength(input.outcomes.length);
  const before = sprt({ ...input, outcomes: input.outcomes.slice(0, decidedAt - 1) });
  expect([before.decision, before.decidedAt]).toEqual(['continue', null]);
});

test('no answer yet is a result: go on', () => {
  const { decision, decidedAt, path } = sprt({ p0: 0.5, p1: 0.7, outcomes: [] });
  expect([decision, decidedAt, path]).toEqual(['continue', null, []]);
});

test('a hundred thousand answers keep the digits of the path', () => {
  const outcomes = Array.from({ length: 100_000 }, (_, i) => (i % 8 < 5 ? 1 : 0));
  const { path } = sprt({ p0: 0.5, p1: 0.75, outcomes });
  // 3⁵/2⁸ after every eight answers.
  expectClose(path.at(-1), 12_500 * Math.log(243 / 256), rounding, 'last');
});

const plan = { p0: 0.5, p1: 0.75, outcomes: [1, 0] };
test.each([
  [{ p1: 0.5 }, 'inconsistent', 'p1'],
  [{ p1: 0.3 }, 'inconsistent', 'p1'],
  [{ p1: 1 }, 'out-of-range', 'p1'],
  [{ p0: 0 }, 'out-of-range', 'p0'],
  [{ p0: Number.NaN }, 'wrong-type', 'p0'],
  [{ p0: undefined }, 'missing', 'p0'],
  [{ alpha: 0.6, beta: 0.4 }, 'inconsistent', 'beta'],
  [{ alpha: 1 }, 'out-of-range', 'alpha'],
  [{ beta: '0.1' }, 'wrong-type', 'beta'],
  [{ outcomes: undefined }, 'missing', 'outcomes'],
  [{ outcomes: 3 }, 'wrong-type', 'outcomes'],
  [{ outcomes: [1, 2] }, 'out-of-range', 'outcomes.1'],
  [{ outcomes: [1, 0.5] }, 'wrong-type', 'outcomes.1'],
  [{ outcomes: [true] }, 'wrong-type', 'outcomes.0'],
  [{ outcomes: [1, null] }, 'missing', 'outcomes.1'],
  [{ strict: 1 }, 'wrong-type', 'strict'],
  [{ outcome: [1] }, 'unknown-option', 'outcome'],
] as const)('bad input is refused: %o', (change, code, path) => {
  expectRefused(() => sprt({ ...plan, ...change } as unknown as SprtInput), code, path);
});
