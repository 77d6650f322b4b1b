import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type PowerInput, power } from '../../stats/power';
import { sampleSize } from '../../stats/sample-size';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  { chance: number; pd: number; alpha: number[]; beta: number[]; alternative: 'greater' | 'two-sided' },
  {
    smallest: { trials: number[]; count: number[]; power: number[] };
    lasting: { trials: number[]; count: number[] };
  }
>;

/** The smallest sizes as the printed tables give them, `null` where none was read; values from memory, as the case says. */
interface Printed {
  published?: { first_n?: (number | null)[] };
}

test.each(references<(Omit<Case, 'published'> & Printed)[]>('sample-size'))('$id: $source', (known) => {
  const { inputs, expected, tolerance, published, id } = known;
  inputs.alpha.forEach((alpha, i) => {
    const { chance, pd, alternative } = inputs;
    const { smallest, lasting } = sampleSize({ chance, pd, alternative, alpha, beta: inputs.beta[i] });
    const got = [smallest.trials, smallest.count, lasting.trials, lasting.count];
    const { smallest: first, lasting: last } = expected;
    expect(got, `${id} alpha ${alpha}`).toEqual([first.trials[i], first.count[i], last.trials[i], last.count[i]]);
    expectClose(smallest.power, first.power[i] ?? Number.NaN, tolerance, `${id} alpha ${alpha} power`);
    const printed = published?.first_n?.[i] ?? null;
    if (printed !== null) expect(smallest.trials, `${id} alpha ${alpha} printed`).toBe(printed);
  });
});

/** Both sizes by asking for the power of every number of trials up to `most`. */
function searched(input: Omit<PowerInput, 'trials'>, beta: number, most: number) {
  let smallest = 0;
  let lastShort = 0;
  for (let trials = 1; trials <= most; trials++) {
    const enough = power({ ...input, trials }).power >= (1 - beta) * (1 - 1e-12);
    if (!enough) lastShort = trials;
    else if (smallest === 0) smallest = trials;
  }
  return [smallest, lastShort + 1];
}

test.each([
  { chance: 1 / 2, proportion: 0.8 },
  { chance: 1 / 3, proportion: 0.55 },
  { chance: 1 / 10, proportion: 0.3 },
  { chance: 0.9, proportion: 0.99 },
  { chance: 1 / 3, proportion: 0.1, alternative: 'less' },
  { chance: 1 / 3, proportion: 0.1, alternative: 'two-sided' },
  { chance: 1 / 2, proportion: 0.7, alternative: 'two-sided' },
  { chance: 1 / 3, dPrime: 1.5, method: 'triangle' },
] as const)('by asking for every size: %o', (truth) => {
  const input = 'method' in truth ? { dPrime: truth.dPrime, method: truth.method } : truth;
  for (const alpha of [0.2, 0.05, 0.01]) {
    for (const beta of [0.5, 0.2, 0.05]) {
      const { smallest, lasting } = sampleSize({ ...input, alpha, beta });
      expect([smallest.trials, lasting.trials]).toEqual(searched({ ...input, alpha }, beta, 400));
      expect(smallest).toEqual({ trials: smallest.trials, ...power({ ...input, alpha, trials: smallest.trials }) });
      expect(lasting).toEqual({ trials: lasting.trials, ...power({ ...input, alpha, trials: lasting.trials }) });
    }
  }
});

test('where guessing hardly ever helps, the next tooth is a thousand trials away and still seen', () => {
  // One right answer is enough up to 512 trials; at 513 two are needed, which finds less.
  const input = { chance: 1e-4, proportion: 0.002 };
  const { smallest, lasting } = sampleSize({ ...input, beta: 0.7 });
  expect(smallest.trials).toBe(Math.ceil(Math.log(0.7) / Math.log(0.998)));
  expect([smallest.trials, lasting.trials]).toEqual(searched(input, 0.7, 3000));
  expect(lasting.trials).toBeGreaterThan(513);
});

test('a power that equals 1 − beta but for rounding is reached', () => {
  // One trial, one right answer is enough at alpha 0.1, found with probability 0.8 = 1 − 0.2.
  const { smallest } = sampleSize({ chance: 0.1, alpha: 0.1, beta: 0.2, proportion: 0.8 });
  expect(smallest).toMatchObject({ trials: 1, count: 1, power: 0.8 });
  // 0.9² = 0.81 in two trials that must both be right.
  expect(sampleSize({ chance: 0.1, alpha: 0.01, beta: 0.19, proportion: 0.9 }).smallest.trials).toBe(2);
});

test('a larger difference, alpha or beta never asks for more', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(1 / 2, 1 / 3, 1 / 10),
      fc.double({ min: 0.15, max: 1, noNaN: true }),
      fc.double({ min: 0.15, max: 1, noNaN: true }),
      (chance, one, other) => {
        const size = (pd: number, alpha = 0.05, beta = 0.1) => sampleSize({ chance, pd, alpha, beta });
        const [hard, easy] = [size(Math.min(one, other)), size(Math.max(one, other))];
        expect(easy.smallest.trials).toBeLessThanOrEqual(hard.smallest.trials);
        expect(easy.lasting.trials).toBeLessThanOrEqual(hard.lasting.trials);
        expect(size(one, 0.1).lasting.trials).toBeLessThanOrEqual(size(one).lasting.trials);
        expect(size(one, 0.05, 0.2).lasting.trials).toBeLessThanOrEqual(size(one).lasting.trials);
        expect(size(one).smallest.trials).toBeLessThanOrEqual(size(one).lasting.trials);
      },
    ),
    { seed: 61, numRuns: 100 },
  );
});

test('between the two sizes the power falls short somewhere, from the lasting one on nowhere', () => {
  const input = { chance: 1 / 3, alpha: 0.05, pd: 0.3 };
  const { smallest, lasting } = sampleSize({ ...input, beta: 0.2 });
  expect(power({ ...input, trials: lasting.trials - 1 }).power).toBeLessThan(0.8);
  expect(power({ ...input, trials: smallest.trials - 1 }).power).toBeLessThan(0.8);
  for (let trials = lasting.trials; trials < lasting.trials + 300; trials++) {
    expect(power({ ...input, trials }).power).toBeGreaterThanOrEqual(0.8);
  }
});

test('less is greater, mirrored', () => {
  const up = sampleSize({ chance: 0.4, proportion: 0.7, beta: 0.1 });
  const down = sampleSize({ chance: 0.6, proportion: 0.3, beta: 0.1, alternative: 'less' });
  expect(down.smallest.trials).toBe(up.smallest.trials);
  expect(down.smallest.count).toBe(up.smallest.trials - (up.smallest.count ?? 0));
  expectClose(down.smallest.power, up.smallest.power, { relative: 1e-10, absolute: 0 }, 'power');
});

test('two-sided away from one half', () => {
  const { smallest } = sampleSize({ chance: 1 / 3, proportion: 0.1, beta: 0.2, alternative: 'two-sided' });
  const again = power({ chance: 1 / 3, proportion: 0.1, alternative: 'two-sided', trials: smallest.trials });
  expect(again.power).toBe(smallest.power);
  expect(smallest.power).toBeGreaterThanOrEqual(0.8);
});

test('a difference on no or the wrong side, or too small to search for, is refused', () => {
  expectRefused(() => sampleSize({ pd: 0 }), 'inconsistent', 'pd');
  expectRefused(() => sampleSize({ proportion: 0.4 }), 'inconsistent', 'proportion');
  expectRefused(() => sampleSize({ proportion: 0.6, alternative: 'less' }), 'inconsistent', 'proportion');
  expectRefused(() => sampleSize({ proportion: 0.5001 }), 'unreachable', 'proportion');
  expectRefused(() => sampleSize({}), 'missing', 'pd');
  expectRefused(() => sampleSize({ dPrime: 0, method: 'triangle' }), 'inconsistent', 'dPrime');
  expectRefused(() => sampleSize({ dPrime: 2, method: 'triangle', alternative: 'less' }), 'inconsistent', 'dPrime');
  expectRefused(() => sampleSize({ dPrime: 0.01, method: 'duo-trio' }), 'unreachable', 'dPrime');
  expectRefused(() => sampleSize({ dPrime: 1, method: 'triangle', chance: 0.5 }), 'inconsistent', 'chance');
  expectRefused(() => sampleSize({ method: 'triangle', pd: 0.3 }), 'inconsistent', 'method');
  expectRefused(() => sampleSize({ pd: 0.3, beta: 0 }), 'out-of-range', 'beta');
  // @ts-expect-error misspelt
  expectRefused(() => sampleSize({ pd: 0.3, betta: 0.1 }), 'unknown-option', 'betta');
});

test('a refusal quotes the truth as it was given, not the probability that follows from it', () => {
  expect(expectRefused(() => sampleSize({ chance: 0.5, pd: 0.001 }), 'unreachable', 'pd').got).toBe('0.001');
  const flat = () => sampleSize({ method: 'triangle', dPrime: 0 });
  expect(expectRefused(flat, 'inconsistent', 'dPrime').got).toBe('0');
});
