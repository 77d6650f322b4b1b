import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fisherUpper } from '../../stats/fisher-exact';
import { expectClose } from './support';

const exact = { relative: 1e-11, absolute: 0 };

test('every table of up to nine trials, by dealing out the answers in all ways', () => {
  for (let first = 1; first <= 6; first++) {
    for (let second = 1; second <= 9 - first; second++) {
      const all = first + second;
      // [marked in all][marked among the first]: so many ways.
      const ways = Array.from({ length: all + 1 }, () => new Array<number>(first + 1).fill(0));
      for (let code = 0; code < 2 ** all; code++) {
        let inFirst = 0;
        let marked = 0;
        for (let i = 0; i < all; i++) {
          const mark = Math.floor(code / 2 ** i) % 2;
          marked += mark;
          if (i < first) inFirst += mark;
        }
        const row = ways[marked] ?? [];
        row[inFirst] = (row[inFirst] ?? 0) + 1;
      }
      for (let a = 0; a <= first; a++) {
        for (let b = 0; b <= second; b++) {
          const row = ways[a + b] ?? [];
          const sum = (from: number) => row.slice(from).reduce((total, count) => total + count, 0);
          expectClose(fisherUpper(a, first, b, second), sum(a) / sum(0), exact, `${a}/${first} ${b}/${second}`);
        }
      }
    }
  }
});

/** n over k in whole numbers. */
function choose(n: number, k: number): bigint {
  let ways = 1n;
  for (let i = 1; i <= Math.min(k, n - k); i++) ways = (ways * BigInt(n - i + 1)) / BigInt(i);
  return ways;
}

/** The tail as a fraction of whole numbers, brought to a double at the end. */
function fraction(a: number, first: number, b: number, second: number): number {
  const marked = a + b;
  let part = 0n;
  for (let x = Math.max(a, marked - second, 0); x <= Math.min(first, marked); x++) {
    part += choose(first, x) * choose(second, marked - x);
  }
  const whole = choose(first + second, marked);
  // Eighteen digits of the quotient, wherever they begin.
  const digits = whole.toString().length - part.toString().length + 18;
  return Number(`${(part * 10n ** BigInt(digits)) / whole}e-${digits}`);
}

test('random tables and far tails against whole numbers', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 300 }),
      fc.integer({ min: 1, max: 300 }),
      fc.nat(),
      fc.nat(),
      (first, second, one, two) => {
        const a = one % (first + 1);
        const b = two % (second + 1);
        expectClose(
          fisherUpper(a, first, b, second),
          fraction(a, first, b, second),
          exact,
          `${a}/${first} ${b}/${second}`,
        );
      },
    ),
    { seed: 23, numRuns: 60 },
  );
  for (const [a, first, b, second] of [
    [300, 300, 0, 300],
    [500, 500, 1, 480],
    [40, 41, 0, 1000],
    [999, 1000, 900, 1000],
    [510, 1000, 495, 1000],
    [0, 5, 3, 3],
  ] as const) {
    expectClose(fisherUpper(a, first, b, second), fraction(a, first, b, second), exact, `${a}/${first} ${b}/${second}`);
  }
});

/** mpmath 1.3.0 with 40 digits: log Γ for the table, ratios of neighbours for the rest. (phyper of R 4.2.2 keeps 12 of them.) */
test.each([
  [500_500, 1e6, 499_500, 1e6, 0.07885735627467712],
  [503_000, 1e6, 497_000, 1e6, 1.088917222612325e-17],
  [510, 1e6, 400, 1e6, 1.483603190815779e-4],
  [999_500, 1e6, 998_900, 1e6, 3.038216183608807e-52],
] as const)('a million trials: %i of %i against %i of %i', (a, first, b, second, p) => {
  expectClose(fisherUpper(a, first, b, second), p, exact, `${a} ${b}`);
});

test('the two directions share the table itself, and exchanging the kinds exchanges them', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 80 }), fc.integer({ min: 1, max: 80 }), fc.nat(), fc.nat(), (n, m, i, j) => {
      const a = i % (n + 1);
      const b = j % (m + 1);
      const upper = fisherUpper(a, n, b, m);
      const lower = fisherUpper(b, m, a, n);
      const itself = upper - (a < n && b > 0 ? fisherUpper(a + 1, n, b - 1, m) : 0);
      expectClose(upper + lower - itself, 1, { relative: 0, absolute: 1e-12 }, `${a}/${n} ${b}/${m}`);
      // What was not said is as telling as what was.
      expectClose(fisherUpper(m - b, m, n - a, n), upper, { relative: 1e-10, absolute: 0 }, `${a}/${n} ${b}/${m}`);
    }),
    { seed: 24, numRuns: 200 },
  );
});

test('conservative under the null, however ready the listeners are: all tables of 6 and 5', () => {
  const chance = (k: number, n: number, q: number) => Number(choose(n, k)) * q ** k * (1 - q) ** (n - k);
  for (const q of [0.1, 0.3, 0.5, 0.8]) {
    const outcomes: { p: number; probability: number }[] = [];
    for (let a = 0; a <= 6; a++) {
      for (let b = 0; b <= 5; b++) {
        outcomes.push({ p: fisherUpper(a, 6, b, 5), probability: chance(a, 6, q) * chance(b, 5, q) });
      }
    }
    for (const { p: alpha } of outcomes) {
      const below = outcomes.filter(({ p }) => p <= alpha).reduce((sum, { probability }) => sum + probability, 0);
      expect(below).toBeLessThanOrEqual(alpha + 1e-12);
    }
  }
});
