import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type ANotAInput, aNotA } from '../../stats/a-not-a';
import { normalCdf } from '../../stats/distributions';
import { fisherUpper } from '../../stats/fisher-exact';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Case = ReferenceCase<ANotAInput, { dPrime: number; criterion: number; standardError: number }>;

test.each(references<Case[]>('a-not-a'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const result = aNotA(inputs);
  for (const name of ['dPrime', 'criterion', 'standardError'] as const) {
    expectClose(result[name], expected[name], tolerance, `${id} ${name}`);
    const printed = published?.[name];
    if (printed)
      expectClose(result[name], printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
  }
  expect(result.hitRate).toBe(inputs.hits / inputs.signalTrials);
  expect(result.falseAlarmRate).toBe(inputs.falseAlarms / inputs.noiseTrials);
});

const counted = (hits: number, signalTrials: number, falseAlarms: number, noiseTrials: number) => ({
  hits,
  signalTrials,
  falseAlarms,
  noiseTrials,
});

test('impressions so far apart, judged by the criterion, give the rates; the error follows from how d′ moves with them', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 500 }),
      fc.integer({ min: 1, max: 500 }),
      fc.nat(),
      fc.nat(),
      fc.boolean(),
      (signal, noise, one, two, corrected) => {
        const hits = corrected ? one % (signal + 1) : 1 + (one % Math.max(1, signal - 1));
        const alarms = corrected ? two % (noise + 1) : 1 + (two % Math.max(1, noise - 1));
        if (!corrected && (hits >= signal || alarms >= noise)) return;
        const correction = corrected ? 'log-linear' : 'none';
        const input = { ...counted(hits, signal, alarms, noise), correction } as const;
        const { dPrime, criterion, standardError, p } = aNotA(input);
        const half = corrected ? 0.5 : 0;
        const hit = (hits + half) / (signal + 2 * half);
        const alarm = (alarms + half) / (noise + 2 * half);
        // Noise at −d′/2, signal at d′/2: said A of what is beyond the criterion.
        expectClose(normalCdf(dPrime / 2 - criterion), hit, { relative: 1e-10, absolute: 0 }, 'hits');
        expectClose(normalCdf(-dPrime / 2 - criterion), alarm, { relative: 1e-10, absolute: 0 }, 'false alarms');
        // Slopes of the normal score by small steps of the probability.
        const slope = (z: number) => 2e-5 / (normalCdf(z + 1e-5) - normalCdf(z - 1e-5));
        const variance =
          (slope(dPrime / 2 - criterion) ** 2 * hit * (1 - hit)) / signal +
          (slope(-dPrime / 2 - criterion) ** 2 * alarm * (1 - alarm)) / noise;
        expectClose(standardError, Math.sqrt(variance), { relative: 1e-5, absolute: 0 }, 'error');
        expect(p).toBe(fisherUpper(hits, signal, alarms, noise));
        // Saying the other word throughout turns the criterion; exchanging the samples turns d′.
        const turned = aNotA({ ...counted(signal - hits, signal, noise - alarms, noise), correction });
        expectClose(turned.dPrime, -dPrime, { relative: 1e-10, absolute: 1e-12 }, 'turned d′');
        expectClose(turned.criterion, -criterion, { relative: 1e-10, absolute: 1e-12 }, 'turned criterion');
        const swapped = aNotA({ ...counted(alarms, noise, hits, signal), correction });
        expectClose(swapped.dPrime, -dPrime, { relative: 1e-10, absolute: 1e-12 }, 'swapped d′');
        expectClose(swapped.criterion, criterion, { relative: 1e-10, absolute: 1e-12 }, 'swapped criterion');
        expectClose(swapped.standardError, standardError, rounding, 'swapped error');
      },
    ),
    { seed: 27, numRuns: 300 },
  );
});

test('d′ and p follow the hits', () => {
  for (let hits = 0; hits < 20; hits++) {
    const one = aNotA(counted(hits, 20, 6, 24));
    const two = aNotA(counted(hits + 1, 20, 6, 24));
    expect(two.dPrime).toBeGreaterThan(one.dPrime);
    expect(two.p).toBeLessThanOrEqual(one.p);
    expect(two.criterion).toBeLessThan(one.criterion);
  }
});

test('all and none right, and one word for everything, are finite with the correction', () => {
  const perfect = aNotA(counted(1000, 1000, 0, 1000));
  expect(Object.values(perfect).every(Number.isFinite)).toBe(true);
  expect(perfect.criterion).toBe(0);
  const one = aNotA(counted(20, 20, 20, 20));
  expect([one.dPrime, one.p]).toEqual([0, 1]);
  expect(one.criterion).toBeLessThan(0);
  const least = aNotA(counted(0, 1, 0, 1));
  expect([least.dPrime, least.p]).toEqual([0, 1]);
  // A rate of 1 − 5e-10 keeps its digits: the normal score of half an answer in a thousand million and one.
  const far = aNotA(counted(1e9, 1e9, 5e8, 1e9));
  expectClose(far.dPrime, 6.109410204869, { relative: 1e-7, absolute: 0 }, 'far');
});

test.each([
  [{ hits: 20, correction: 'none' }, 'no-variation', 'hits'],
  [{ hits: 0, correction: 'none' }, 'no-variation', 'hits'],
  [{ falseAlarms: 0, correction: 'none' }, 'no-variation', 'falseAlarms'],
  [{ falseAlarms: 20, correction: 'none' }, 'no-variation', 'falseAlarms'],
  [{ hits: 21 }, 'out-of-range', 'hits'],
  [{ hits: Number.NaN }, 'wrong-type', 'hits'],
  [{ signalTrials: 0 }, 'out-of-range', 'signalTrials'],
  [{ falseAlarms: -1 }, 'out-of-range', 'falseAlarms'],
  [{ falseAlarms: 1.5 }, 'wrong-type', 'falseAlarms'],
  [{ noiseTrials: undefined }, 'missing', 'noiseTrials'],
  [{ correction: 'loglinear' }, 'unknown-choice', 'correction'],
  [{ noise: 20 }, 'unknown-option', 'noise'],
] as const)('bad input is refused: %o', (change, code, path) => {
  expectRefused(() => aNotA({ ...counted(15, 20, 5, 20), ...change } as unknown as ANotAInput), code, path);
});
