import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type CohenKappaInput, type CohenKappaResult, cohenKappa, kappaWeights } from '../../stats/cohen-kappa';
import { normalQuantile } from '../../stats/distributions';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<CohenKappaInput, Partial<CohenKappaResult>>;

test.each(references<Case[]>('cohen-kappa'))('$id', ({ inputs, expected, tolerance, published, id }) => {
  const got = cohenKappa(inputs);
  for (const [field, value] of Object.entries(expected)) {
    expectClose(Reflect.get(got, field), value, tolerance, `${id} ${field}`);
  }
  const reach = -normalQuantile((1 - (inputs.level ?? 0.95)) / 2) * got.standardError;
  expectClose(got.upper - got.lower, 2 * reach, tolerance, `${id} width`);
  const printed = published?.kappa;
  if (printed) expectClose(got.kappa, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
});

const credit = {
  none: (distance: number, _most: number) => (distance === 0 ? 1 : 0),
  linear: (distance: number, most: number) => 1 - distance / most,
  quadratic: (distance: number, most: number) => 1 - (distance / most) ** 2,
};

/** Chance agreement by pairing every answer of one with every answer of the other; no table, no shares. */
function byPairing(first: number[], second: number[], weight: (a: number, b: number) => number): number {
  const n = first.length;
  const seen = first.reduce((sum, a, i) => sum + weight(a, second[i] ?? Number.NaN), 0) / n;
  const chance = first.reduce((sum, a) => sum + second.reduce((inner, b) => inner + weight(a, b), 0), 0) / n ** 2;
  return (seen - chance) / (1 - chance);
}

/**
 * The standard error as large samples define it: how kappa moves when a little weight is put on one thing, by numbers
 * instead of by the formula: √(mean of the squared slopes / n).
 */
function bySlopes(first: number[], second: number[], weight: (a: number, b: number) => number): number {
  const n = first.length;
  const kappa = (extra: number, step: number) => {
    const shares = first.map((_, i) => ((1 - step) * 1) / n + (i === extra ? step : 0));
    let seen = 0;
    let chance = 0;
    first.forEach((a, i) => {
      seen += (shares[i] ?? 0) * weight(a, second[i] ?? Number.NaN);
      second.forEach((b, j) => {
        chance += (shares[i] ?? 0) * (shares[j] ?? 0) * weight(a, b);
      });
    });
    return (seen - chance) / (1 - chance);
  };
  const step = 1e-5;
  const slopes = first.map((_, i) => (kappa(i, step) - kappa(i, -step)) / (2 * step));
  return Math.sqrt(slopes.reduce((sum, slope) => sum + slope ** 2, 0)) / n;
}

const answers = fc
  .array(fc.tuple(fc.integer({ min: 1, max: 4 }), fc.integer({ min: 1, max: 4 })), { minLength: 4, maxLength: 14 })
  .map((pairs) => ({ first: pairs.map(([a]) => a), second: pairs.map(([, b]) => b) }))
  .filter(({ first, second }) => new Set([...first, ...second]).size > 1);

test('kappa by pairing everything with everything, its standard error by moving the weight of one thing', () => {
  fc.assert(
    fc.property(answers, fc.constantFrom(...kappaWeights), ({ first, second }, weights) => {
      const sorted = [...new Set([...first, ...second])].sort((a, b) => a - b);
      const most = sorted.length - 1;
      const weight = (a: number, b: number) => credit[weights](Math.abs(sorted.indexOf(a) - sorted.indexOf(b)), most);
      const got = cohenKappa({ first, second, weights });
      const what = JSON.stringify({ first, second, weights });
      expectClose(got.kappa, byPairing(first, second, weight), { relative: 1e-10, absolute: 1e-12 }, what);
      expectClose(got.standardError, bySlopes(first, second, weight), { relative: 1e-6, absolute: 1e-7 }, what);
      const matrix = sorted.map((a) => sorted.map((b) => weight(a, b)));
      const custom = cohenKappa({ first, second, weights: matrix });
      expectClose(custom.kappa, got.kappa, { relative: 1e-10, absolute: 1e-12 }, `${what} as a matrix`);
      expectClose(custom.standardError, got.standardError, { relative: 1e-7, absolute: 1e-9 }, `${what} as a matrix`);
    }),
    { seed: 1, numRuns: 150 },
  );
});

test('order of things, names of categories and who is first change nothing', () => {
  fc.assert(
    fc.property(answers, fc.constantFrom(...kappaWeights), ({ first, second }, weights) => {
      const got = cohenKappa({ first, second, weights });
      const same = (other: CohenKappaInput, what: string) => {
        const { kappa, standardError } = cohenKappa({ weights, ...other });
        expectClose(kappa, got.kappa, { relative: 1e-12, absolute: 1e-14 }, what);
        expectClose(standardError, got.standardError, { relative: 1e-10, absolute: 1e-12 }, what);
      };
      same({ first: second, second: first }, 'exchanged');
      same({ first: [...first].reverse(), second: [...second].reverse() }, 'reversed');
      const letters = (values: number[]) => values.map((value) => 'abcd'[value - 1] ?? '');
      same({ first: letters(first), second: letters(second) }, 'letters');
      const twice = cohenKappa({ first: [...first, ...first], second: [...second, ...second], weights });
      expectClose(twice.kappa, got.kappa, { relative: 1e-12, absolute: 1e-14 }, 'twice');
      expect(twice.standardError).toBeLessThanOrEqual(got.standardError);
    }),
    { seed: 2, numRuns: 150 },
  );
});

test('texts that read as numbers stand in the order of their size, so that 10 is next to 9', () => {
  const first = [8, 9, 10, 8, 9, 10, 9, 10];
  const second = [8, 9, 9, 9, 9, 10, 10, 8];
  const numbers = cohenKappa({ first, second, weights: 'linear' });
  expect(cohenKappa({ first: first.map(String), second: second.map(String), weights: 'linear' })).toEqual(numbers);
  expect(
    cohenKappa({ first: first.map((v) => `${v}x`), second: second.map((v) => `${v}x`), weights: 'linear' }),
  ).not.toEqual(numbers);
});

test('perfect agreement, none at all, and a rater with one answer', () => {
  const all = { kappa: 1, standardError: 0, lower: 1, upper: 1 };
  for (const weights of kappaWeights) {
    expect(cohenKappa({ first: ['a', 'b', 'c'], second: ['a', 'b', 'c'], weights })).toEqual(all);
  }
  expect(cohenKappa({ first: [1, 2], second: [2, 1] }).kappa).toBe(-1);
  // Whatever the second says, agreement is what chance gives, and the large-sample formula sees no spread.
  expect(cohenKappa({ first: [1, 1, 1, 1, 1], second: [1, 2, 1, 3, 1] })).toEqual({
    kappa: 0,
    standardError: 0,
    lower: 0,
    upper: 0,
  });
  expectRefused(() => cohenKappa({ first: ['a', 'a'], second: ['a', 'a'] }), 'no-variation', 'first');
  const alike = [
    [1, 1],
    [1, 1],
  ];
  expectRefused(() => cohenKappa({ first: [1, 2], second: [2, 1], weights: alike }), 'no-variation', 'first');
});

test('the interval is wider at a higher level and holds kappa', () => {
  const first = [1, 2, 3, 1, 2, 3, 1, 2];
  const second = [1, 2, 3, 1, 2, 1, 2, 2];
  let width = 0;
  for (const level of [0.5, 0.8, 0.9, 0.95, 0.999]) {
    const { kappa, lower, upper } = cohenKappa({ first, second, level });
    expect(lower).toBeLessThan(kappa);
    expect(upper).toBeGreaterThan(kappa);
    expect(upper - lower).toBeGreaterThan(width);
    width = upper - lower;
  }
});

test('bad input is refused with its place', () => {
  const first = ['a', 'b', 'b'];
  const second = ['a', 'a', 'b'];
  const unchecked = (input: object) => () => cohenKappa({ first, second, ...input });
  expectRefused(unchecked({ second: ['a', 'a'] }), 'inconsistent', 'second');
  expectRefused(unchecked({ first: ['a'], second: ['a'] }), 'not-enough-data', 'first');
  expectRefused(unchecked({ first: [1, 2, 3] }), 'inconsistent', 'second.0');
  expectRefused(unchecked({ first: ['a', 1, 'b'] }), 'inconsistent', 'first.1');
  expectRefused(unchecked({ first: ['a', '', 'b'] }), 'wrong-type', 'first.1');
  expectRefused(unchecked({ first: ['a', null, 'b'] }), 'missing', 'first.1');
  expectRefused(unchecked({ first: ['a', Number.NaN, 'b'] }), 'wrong-type', 'first.1');
  expectRefused(unchecked({ weights: 'square' }), 'unknown-choice', 'weights');
  expectRefused(unchecked({ weights: [[1, 0]] }), 'inconsistent', 'weights');
  expectRefused(
    unchecked({
      weights: [
        [1, 0],
        [0, 0.5],
      ],
    }),
    'inconsistent',
    'weights.1.1',
  );
  expectRefused(
    unchecked({
      weights: [
        [1, 0],
        [2, 1],
      ],
    }),
    'out-of-range',
    'weights.1.0',
  );
  expectRefused(unchecked({ level: 95 }), 'out-of-range', 'level');
  const many = Array.from({ length: 1001 }, (_, i) => i);
  expectRefused(unchecked({ first: many, second: many }), 'out-of-range', 'first');
});
