import fc from 'fast-check';
import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import type { Alternative } from '../../stats/check';
import { signFlip, signFlipOfWhole } from '../../stats/sign-flip';
import { expectClose, expectRefused } from './support';

const alternatives: Alternative[] = ['two-sided', 'greater', 'less'];

/** All ways to set the signs, written out one by one with whole numbers: nothing in common with the code under test. */
function enumerated(values: number[], alternative: Alternative): number {
  const seen = values.reduce((sum, value) => sum + value, 0);
  const sums = values.reduce((all, value) => all.flatMap((sum) => [sum + value, sum - value]), [0]);
  const far = sums.filter((sum) => {
    if (alternative === 'greater') return sum >= seen;
    return alternative === 'less' ? sum <= seen : Math.abs(sum) >= Math.abs(seen);
  });
  return far.length / sums.length;
}

test('whole numbers of up to 10 listeners, zeros among them, by enumeration', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: -4, max: 4 }), { minLength: 1, maxLength: 10 }), (values) => {
      for (const alternative of alternatives) {
        const { p, exact } = signFlip({ perListener: values, alternative });
        expect(exact).toBe(true);
        expectClose(p, enumerated(values, alternative), { relative: 1e-12, absolute: 0 }, `${values} ${alternative}`);
        expect(signFlipOfWhole(values, alternative)).toBe(p);
      }
    }),
    { seed: 7, numRuns: 200 },
  );
});

test('thirds, as shares of three trials give them, count like the whole numbers behind them', () => {
  const wins = [3, 2, 3, 1, 2, 3, 0, 3];
  const shares = wins.map((count) => 2 * (count / 3) - 1);
  const nets = wins.map((count) => 2 * count - 3);
  for (const alternative of alternatives) {
    const { p, exact } = signFlip({ perListener: shares, alternative });
    expect([p, exact]).toEqual([enumerated(nets, alternative), true]);
  }
});

test('numbers without a common step, by enumeration of the signs', () => {
  const values = [0.9, Math.SQRT2, -0.31, Math.PI, 0, 2.2, -1.17];
  for (const alternative of alternatives) {
    const { p, exact } = signFlip({ perListener: values, alternative });
    expect([p, exact]).toEqual([enumerated(values, alternative), true]);
  }
});

test('one answer a listener is the sign test: the exact two-sided binomial', () => {
  for (let wins = 0; wins <= 60; wins += 7) {
    const perListener = Array.from({ length: 60 }, (_, i) => (i < wins ? 1 : -1));
    for (const alternative of alternatives) {
      const expected = binomialTest({ correct: wins, trials: 60, alternative }).p;
      const { p, exact } = signFlip({ perListener, alternative });
      expectClose(p, expected, { relative: 1e-11, absolute: 0 }, `${wins} of 60 ${alternative}`);
      expect(exact).toBe(true);
    }
  }
});

test('the directions mirror each other, and order and unit of the figures change nothing', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: -5, max: 5 }), { minLength: 1, maxLength: 40 }), (values) => {
      const p = (perListener: number[], alternative: Alternative) => signFlip({ perListener, alternative }).p;
      const turned = values.map((value) => -value);
      expect(p(turned, 'less')).toBe(p(values, 'greater'));
      expect(p(turned, 'two-sided')).toBe(p(values, 'two-sided'));
      expectClose(p([...values].reverse(), 'greater'), p(values, 'greater'), { relative: 1e-12, absolute: 0 }, 'order');
      const scaled = values.map((value) => value * 0.35);
      expectClose(p(scaled, 'two-sided'), p(values, 'two-sided'), { relative: 1e-12, absolute: 0 }, 'unit');
    }),
    { seed: 8, numRuns: 200 },
  );
});

test('one listener, everyone tied, all one way: defined', () => {
  expect(signFlip({ perListener: [3] })).toEqual({ mean: 3, p: 1, exact: true });
  expect(signFlip({ perListener: [3], alternative: 'greater' }).p).toBe(0.5);
  expect(signFlip({ perListener: [0, 0, 0] })).toEqual({ mean: 0, p: 1, exact: true });
  expect(signFlip({ perListener: [0, 0], alternative: 'greater' }).p).toBe(1);
  expect(signFlip({ perListener: [1, 1, 1, 1, 1, 1, 1, 1] }).p).toBe(2 / 256);
  expect(signFlip({ perListener: new Array(200).fill(1) }).p).toBe(2 ** -199);
});

test('too many figures without a step: random patterns, the same for the same seed, near the exact p', () => {
  const whole = Array.from({ length: 32 }, (_, i) => ((i * 7) % 5) - 1);
  const exact = signFlip({ perListener: whole });
  const off = whole.map((value, i) => value * (1 + 1e-6 * Math.sin(i + 1)));
  const random = signFlip({ perListener: off, seed: 3 });
  expect([exact.exact, random.exact]).toEqual([true, false]);
  expect(signFlip({ perListener: off, seed: 3 })).toEqual(random);
  expect(signFlip({ perListener: off, seed: 4 }).p).not.toBe(random.p);
  const few = signFlip({ perListener: whole, seed: 5, permutations: 20_000 });
  expect(few.exact).toBe(false);
  // Five standard errors of 20,000 patterns.
  expect(Math.abs(few.p - exact.p)).toBeLessThan(5 * Math.sqrt((exact.p * (1 - exact.p)) / 20_000));
  expectRefused(() => signFlip({ perListener: off, permutations: 'exact' }), 'not-supported', 'permutations');
});

test('no listener, or what is no number, is refused', () => {
  expectRefused(() => signFlip({ perListener: [] }), 'not-enough-data', 'perListener');
  expectRefused(() => signFlip({ perListener: [1, Number.NaN] }), 'wrong-type', 'perListener.1');
  expectRefused(() => signFlip({ perListener: [1], seed: 1.5 }), 'wrong-type', 'seed');
  expectRefused(() => signFlip({ perListener: [1], permutations: 5 }), 'out-of-range', 'permutations');
});

test('sums equal but for rounding count as equal, sums that differ in the fifth digit don’t', () => {
  const near = signFlip({ perListener: [Math.SQRT2, 1, 1e-5 - 1], alternative: 'greater' });
  // Only both plus, and the one seen, reach √2 + 0.00001.
  expect(near.p).toBe(2 / 8);
  const tied = signFlip({ perListener: [Math.SQRT2, 0.3, -(0.1 + 0.2)], alternative: 'greater' });
  expect(tied.p).toBe(3 / 8);
});

test('a small figure beside a huge one still counts', () => {
  // Both plus is the only pattern that reaches the sum seen.
  expect(signFlip({ perListener: [1e10, 1], alternative: 'greater' })).toMatchObject({ p: 1 / 4, exact: true });
  expect(signFlip({ perListener: [1e10, 1] }).p).toBe(1 / 2);
  expectClose(signFlip({ perListener: [1e15, 1, -1e15] }).mean, 1 / 3, { relative: 1e-12, absolute: 0 }, 'mean');
});

test('figures equal but for rounding, as differences of scores are, count as equal', () => {
  const perListener = [0.3 - 0.2, 0.2 - 0.1, 100.3 - 100.2, 0.2 - 0.3, 5.3 - 5.2];
  for (const alternative of alternatives) {
    const { p, exact } = signFlip({ perListener, alternative });
    expect([p, exact]).toEqual([enumerated([1, 1, 1, -1, 1], alternative), true]);
  }
});

test.each([[[1, 2, 3, 4, 5, 6]], [[1, 1, 2, 2, 3]], [[0.5, Math.PI, 2, Math.SQRT2, 0.1]], [[0, 1, 1, 4]]])(
  'over all signs of %j, p is at most α no oftener than α, for every α',
  (sizes) => {
    const panels = sizes.reduce<number[][]>(
      (all, size) =>
        all.flatMap((one) => [
          [...one, size],
          [...one, -size],
        ]),
      [[]],
    );
    for (const alternative of alternatives) {
      const ps = panels.map((perListener) => signFlip({ perListener, alternative }).p);
      for (const p of ps) {
        const share = ps.filter((other) => other <= p * (1 + 1e-12)).length / ps.length;
        expectClose(share, p, { relative: 1e-12, absolute: 0 }, `${alternative} ${p}`);
      }
    }
  },
);

test('random patterns never give 0', () => {
  const perListener = Array.from({ length: 60 }, (_, i) => 1 + Math.sin(i) ** 2);
  expect(signFlip({ perListener, permutations: 1000 }).p).toBe(1 / 1001);
});
