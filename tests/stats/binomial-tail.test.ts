import fc from 'fast-check';
import { expect, test } from 'vitest';
import { lowerTail, upperTail } from '../../stats/binomial-tail';
import { binomialPmf } from '../../stats/distributions';
import { MovingTail } from '../../stats/moving-tail';
import { expectClose, references, type Tolerance } from './support';

const known = references<{
  tolerance: Tolerance;
  tails: { count: number; trials: number; chance: number; lower: number; upper: number }[];
}>('binomial-tail');

test('both tails up to a million trials, down to 1e-280, in 40 digits', () => {
  for (const { count, trials, chance, lower, upper } of known.tails) {
    const what = `${count} of ${trials} at ${chance}`;
    expectClose(upperTail(count, trials, chance), upper, known.tolerance, `${what}, upper`);
    expectClose(lowerTail(count, trials, chance), lower, known.tolerance, `${what}, lower`);
  }
});

test('with a chance of one half and few trials not a digit is lost', () => {
  for (let trials = 1; trials <= 50; trials++) {
    // Pascal's triangle in whole numbers.
    let ways = 1n;
    let below = 0n;
    for (let k = 0; k <= trials; k++) {
      below += ways;
      if (below < 2n ** 53n) expect(lowerTail(k, trials, 0.5)).toBe(Number(below) / 2 ** trials);
      if (below < 2n ** 53n) expect(upperTail(trials - k, trials, 0.5)).toBe(Number(below) / 2 ** trials);
      ways = (ways * BigInt(trials - k)) / BigInt(k + 1);
    }
  }
});

test('no count is below 0 or above the trials; chance 0 and 1', () => {
  expect([upperTail(0, 9, 0.3), upperTail(-1, 9, 0.3), upperTail(10, 9, 0.3)]).toEqual([1, 1, 0]);
  expect([lowerTail(9, 9, 0.3), lowerTail(10, 9, 0.3), lowerTail(-1, 9, 0.3)]).toEqual([1, 1, 0]);
  for (const trials of [9, 90]) {
    expect([upperTail(1, trials, 0), upperTail(trials, trials, 1), upperTail(4, trials, 1)]).toEqual([0, 1, 1]);
    expect([lowerTail(0, trials, 0), lowerTail(trials - 1, trials, 1), lowerTail(4, trials, 0)]).toEqual([1, 0, 1]);
  }
});

test('a tail that was moved and lengthened is the tail added up', () => {
  const side = fc.constantFrom('upper' as const, 'lower' as const);
  const moves = fc.array(fc.constantFrom('inward', 'outward', 'addTrial'), { minLength: 1, maxLength: 150 });
  const chance = fc.oneof(fc.constantFrom(0, 1, 0.5, 1 / 3, 0.1, 0.999), fc.double({ min: 0, max: 1, noNaN: true }));
  fc.assert(
    fc.property(
      side,
      fc.integer({ min: 1, max: 200 }),
      fc.nat(),
      chance,
      moves,
      (which, trials, pick, share, steps) => {
        const tail = new MovingTail(which, trials, pick % (trials + 1), share);
        for (const step of steps) {
          if (step === 'inward' && tail.reach > 0) tail.inward();
          if (step === 'outward' && tail.reach <= tail.trials) tail.outward();
          if (step === 'addTrial') tail.addTrial();
        }
        const { count, at, beyond } = tail;
        const sum = which === 'upper' ? upperTail : lowerTail;
        expectClose(beyond, sum(count, tail.trials, share), { relative: 1e-10, absolute: 1e-14 }, 'beyond');
        expectClose(at, binomialPmf(count, tail.trials, share), { relative: 1e-10, absolute: 1e-14 }, 'at');
      },
    ),
    { seed: 31, numRuns: 400 },
  );
});
