import fc from 'fast-check';
import { expect, test } from 'vitest';
import { binomialCdf, binomialPmf, binomialUpper } from '../../stats/distributions';
import { MovingTail } from '../../stats/moving-tail';
import { expectClose, references, type Tolerance } from './support';

const known = references<{
  tolerance: Tolerance;
  tails: { count: number; trials: number; chance: number; lower: number; upper: number }[];
}>('binomial');

test('both tails up to a million trials, down to 1e-280, in 40 digits', () => {
  for (const { count, trials, chance, lower, upper } of known.tails) {
    const what = `${count} of ${trials} at ${chance}`;
    expectClose(binomialUpper(count, trials, chance), upper, known.tolerance, `${what}, upper`);
    expectClose(binomialCdf(count, trials, chance), lower, known.tolerance, `${what}, lower`);
  }
});

test('with a chance of one half and few trials not a digit is lost', () => {
  for (let trials = 1; trials <= 50; trials++) {
    // Pascal's triangle in whole numbers.
    let ways = 1n;
    let below = 0n;
    for (let k = 0; k <= trials; k++) {
      below += ways;
      if (below < 2n ** 53n) expect(binomialCdf(k, trials, 0.5)).toBe(Number(below) / 2 ** trials);
      if (below < 2n ** 53n) expect(binomialUpper(trials - k, trials, 0.5)).toBe(Number(below) / 2 ** trials);
      ways = (ways * BigInt(trials - k)) / BigInt(k + 1);
    }
  }
});

test('no count is below 0 or above the trials; chance 0 and 1', () => {
  expect([binomialUpper(0, 9, 0.3), binomialUpper(-1, 9, 0.3), binomialUpper(10, 9, 0.3)]).toEqual([1, 1, 0]);
  expect([binomialCdf(9, 9, 0.3), binomialCdf(10, 9, 0.3), binomialCdf(-1, 9, 0.3)]).toEqual([1, 1, 0]);
  for (const trials of [9, 90]) {
    expect([binomialUpper(1, trials, 0), binomialUpper(trials, trials, 1), binomialUpper(4, trials, 1)]).toEqual([
      0, 1, 1,
    ]);
    expect([binomialCdf(0, trials, 0), binomialCdf(trials - 1, trials, 1), binomialCdf(4, trials, 0)]).toEqual([
      1, 0, 1,
    ]);
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
        const sum = which === 'upper' ? binomialUpper : binomialCdf;
        expectClose(beyond, sum(count, tail.trials, share), { relative: 1e-10, absolute: 1e-14 }, 'beyond');
        expectClose(at, binomialPmf(count, tail.trials, share), { relative: 1e-10, absolute: 1e-14 }, 'at');
      },
    ),
    { seed: 31, numRuns: 400 },
  );
});
