import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  betaCdf,
  betaQuantile,
  betaUpper,
  binomialCdf,
  binomialPmf,
  binomialUpper,
  chiSquareCdf,
  chiSquareUpper,
  fCdf,
  fQuantile,
  fUpper,
  logGamma,
  nonCentralTCdf,
  nonCentralTUpper,
  normalCdf,
  normalDensity,
  normalQuantile,
  normalUpper,
  studentizedRangeUpper,
  studentizedRangeUpperQuantile,
  tCdf,
  tQuantile,
  tUpper,
} from '../../stats/distributions';
import { expectClose, references, rounding, type Tolerance } from './support';

const known = references<{
  tolerance: Tolerance;
  binomial: { count: number; trials: number; chance: number; pmf: number; lower: number; upper: number }[];
  normal: { z: number; lower: number; upper: number }[];
  normalQuantile: { p: number; z: number }[];
  t: { t: number; df: number; lower: number; upper: number }[];
  beta: { x: number; a: number; b: number; lower: number; upper: number }[];
  chiSquare: { x: number; df: number; lower: number; upper: number }[];
  f: { f: number; d1: number; d2: number; lower: number; upper: number }[];
  studentizedRange: { q: number; groups: number; df: number | null; upper: number }[];
  nonCentralT: { t: number; df: number; ncp: number; lower: number; upper: number }[];
}>('distributions');

const close = (got: number, expected: number, what: string) => expectClose(got, expected, known.tolerance, what);

test('binomial: exact fractions', () => {
  for (const { count, trials, chance, pmf, lower, upper } of known.binomial) {
    const what = `binomial ${count} of ${trials} at ${chance}`;
    close(binomialPmf(count, trials, chance), pmf, `${what}, pmf`);
    close(binomialCdf(count, trials, chance), lower, `${what}, lower`);
    close(binomialUpper(count, trials, chance), upper, `${what}, upper`);
  }
});

test('normal, both tails and quantile', () => {
  for (const { z, lower, upper } of known.normal) {
    close(normalCdf(z), lower, `normal ${z}, lower`);
    close(normalUpper(z), upper, `normal ${z}, upper`);
  }
  for (const { p, z } of known.normalQuantile) {
    expectClose(normalQuantile(p), z, { relative: 1e-12, absolute: 1e-15 }, `normal quantile ${p}`);
  }
});

test('t and beta, both tails', () => {
  for (const { t, df, lower, upper } of known.t) {
    close(tUpper(t, df), upper, `t ${t}, ${df}, upper`);
    close(tCdf(-t, df), upper, `t ${-t}, ${df}, lower`);
    close(tCdf(t, df), lower, `t ${t}, ${df}, lower`);
    close(tUpper(-t, df), lower, `t ${-t}, ${df}, upper`);
  }
  for (const { x, a, b, lower, upper } of known.beta) {
    close(betaCdf(x, a, b), lower, `beta ${x}, ${a}, ${b}, lower`);
    close(betaUpper(x, a, b), upper, `beta ${x}, ${a}, ${b}, upper`);
  }
});

test('chi-square, both tails', () => {
  for (const { x, df, lower, upper } of known.chiSquare) {
    if (lower > 1e-290) close(chiSquareCdf(x, df), lower, `chi-square ${x}, ${df}, lower`);
    if (upper > 1e-290) close(chiSquareUpper(x, df), upper, `chi-square ${x}, ${df}, upper`);
  }
  expect(chiSquareCdf(0, 3)).toBe(0);
  expect(chiSquareUpper(-1, 3)).toBe(1);
});

test('F, both tails', () => {
  for (const { f, d1, d2, lower, upper } of known.f) {
    close(fCdf(f, d1, d2), lower, `F ${f}, ${d1}, ${d2}, lower`);
    close(fUpper(f, d1, d2), upper, `F ${f}, ${d1}, ${d2}, upper`);
  }
  expect([fCdf(0, 2, 3), fCdf(-1, 2, 3), fUpper(0, 2, 3)]).toEqual([0, 0, 1]);
});

test('studentized range, the upper tail down to 1e-38', () => {
  for (const { q, groups, df, upper } of known.studentizedRange) {
    close(studentizedRangeUpper(q, groups, df ?? Number.POSITIVE_INFINITY), upper, `range ${q}, ${groups}, ${df}`);
  }
  expect(studentizedRangeUpper(0, 3, 10)).toBe(1);
});

test('studentized range: two groups are Student’s t, and printed 5 and 1 % points', () => {
  for (const [t, df] of [
    [0.4, 3],
    [2.1, 18],
    [9, 40],
  ] as const) {
    close(studentizedRangeUpper(t * Math.SQRT2, 2, df), 2 * tUpper(t, df), `range of two, ${t}, ${df}`);
  }
  // Pearson & Hartley (1966), Biometrika Tables for Statisticians I, Table 29: values from memory.
  const printed = [
    [0.95, 3, 20, 3.58],
    [0.95, 4, 24, 3.9],
    [0.99, 5, Number.POSITIVE_INFINITY, 4.6],
  ] as const;
  for (const [p, groups, df, q] of printed) {
    expectClose(studentizedRangeUpperQuantile(1 - p, groups, df), q, { relative: 0, absolute: 0.0051 }, `point ${q}`);
  }
});

test('non-central t, both tails, also where the centre is far off', () => {
  for (const { t, df, ncp, lower, upper } of known.nonCentralT) {
    close(nonCentralTCdf(t, df, ncp), lower, `non-central t ${t}, ${df}, ${ncp}, lower`);
    close(nonCentralTUpper(t, df, ncp), upper, `non-central t ${t}, ${df}, ${ncp}, upper`);
  }
  for (const t of [-3, 0.7, 12]) close(nonCentralTUpper(t, 9, 0), tUpper(t, 9), `central, ${t}`);
});

test('a far tail is not 0', () => {
  expect(binomialUpper(38, 40, 0.5)).toBeGreaterThan(0);
  expect(binomialUpper(200, 200, 0.5)).toBeCloseTo(0, 50);
  expect(binomialUpper(200, 200, 0.5)).toBe(2 ** -200);
  expect(normalUpper(37)).toBeGreaterThan(0);
});

test('one degree of freedom is Cauchy’s law, as far out as doubles go', () => {
  for (const p of [0.2, 1e-99, 1e-101, 1e-200, 1e-300]) {
    expectClose(tQuantile(p, 1), -1 / Math.tan(Math.PI * p), { relative: 1e-13, absolute: 0 }, `${p}`);
  }
});

test('quantiles turn the tails round', () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-6, max: 0.999, noNaN: true }), fc.integer({ min: 1, max: 400 }), (p, df) => {
      expectClose(tCdf(tQuantile(p, df), df), p, { relative: 1e-12, absolute: 0 }, `t ${p}, ${df}`);
      expectClose(normalCdf(normalQuantile(p)), p, { relative: 1e-10, absolute: 0 }, `normal ${p}`);
      const b = 1 + (df % 17);
      expectClose(betaCdf(betaQuantile(p, df / 3, b), df / 3, b), p, { relative: 1e-11, absolute: 0 }, `beta ${p}`);
      expectClose(fCdf(fQuantile(p, b, df), b, df), p, { relative: 1e-11, absolute: 0 }, `F ${p}, ${b}, ${df}`);
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('quantiles of the studentized range turn the tail round', () => {
  for (const [tail, groups, df] of [
    [0.95, 3, 10],
    [0.5, 12, 4],
    [1e-6, 4, 24],
    [1e-18, 3, Number.POSITIVE_INFINITY],
    [1e-300, 4, Number.POSITIVE_INFINITY],
  ] as const) {
    const q = studentizedRangeUpperQuantile(tail, groups, df);
    expectClose(
      studentizedRangeUpper(q, groups, df),
      tail,
      { relative: 1e-9, absolute: 0 },
      `${tail}, ${groups}, ${df}`,
    );
  }
});

test('tails add up and the probabilities sum to one', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 400 }),
      fc.double({ min: 0.01, max: 0.99, noNaN: true }),
      fc.nat(),
      (trials, chance, pick) => {
        const count = pick % (trials + 1);
        const both = binomialCdf(count, trials, chance) + binomialUpper(count, trials, chance);
        expectClose(both, 1 + binomialPmf(count, trials, chance), { relative: 1e-12, absolute: 0 }, 'both tails');
        let sum = 0;
        for (let k = 0; k <= trials; k++) sum += binomialPmf(k, trials, chance);
        expectClose(sum, 1, { relative: 1e-11, absolute: 0 }, 'sum');
      },
    ),
    { seed: 2, numRuns: 100 },
  );
});

test('the ends: impossible counts, chance 0 and 1', () => {
  expect(binomialPmf(-1, 5, 0.5)).toBe(0);
  expect(binomialPmf(6, 5, 0.5)).toBe(0);
  expect([binomialPmf(0, 5, 0), binomialPmf(1, 5, 0), binomialPmf(5, 5, 1), binomialPmf(4, 5, 1)]).toEqual([
    1, 0, 1, 0,
  ]);
  expect([binomialUpper(0, 5, 0.3), binomialUpper(6, 5, 0.3)]).toEqual([1, 0]);
  expectClose(logGamma(11), Math.log(3628800), rounding, 'log 10!');
  expectClose(normalDensity(0), 1 / Math.sqrt(2 * Math.PI), rounding, 'density');
});

test('log Γ at whole numbers and halves', () => {
  let factorial = 0;
  let halves = Math.log(Math.PI) / 2;
  for (let n = 1; n <= 300; n++) {
    expectClose(logGamma(n), factorial, { relative: 1e-13, absolute: 1e-14 }, `log Γ(${n})`);
    expectClose(logGamma(n - 0.5), halves, { relative: 1e-13, absolute: 1e-14 }, `log Γ(${n - 0.5})`);
    factorial += Math.log(n);
    halves += Math.log(n - 0.5);
  }
});
