import fc from 'fast-check';
import { expect, test } from 'vitest';
import { normalCdf, normalDensity } from '../../stats/distributions';
import { fisherUpper } from '../../stats/fisher-exact';
import { type SameDifferentInput, sameDifferent } from '../../stats/same-different';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Case = ReferenceCase<SameDifferentInput, { hitRate: number; falseAlarmRate: number; tau: number; dPrime: number }>;

test.each(references<Case[]>('same-different'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const result = sameDifferent(inputs);
  for (const name of ['hitRate', 'falseAlarmRate', 'tau', 'dPrime'] as const) {
    expectClose(result[name], expected[name], tolerance, `${id} ${name}`);
  }
  expect(result.unbounded).toBe(false);
});

const counted = (
  differentSaidDifferent: number,
  differentPairs: number,
  sameSaidDifferent: number,
  samePairs: number,
) => sameDifferent({ differentSaidDifferent, differentPairs, sameSaidDifferent, samePairs });

/** How often two impressions, their means `apart`, lie more than tau from each other: by adding up the plane in strips. */
function calledDifferent(apart: number, tau: number): number {
  const steps = 4000;
  const reach = 9;
  let outside = 0;
  for (let i = 0; i <= steps; i++) {
    const first = -reach + (2 * reach * i) / steps;
    const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
    outside += weight * normalDensity(first) * (tail(first + tau - apart) + tail(-(first - tau - apart)));
  }
  return (outside * 2 * reach) / steps / 3;
}

/** P(Z ≥ z) by Simpson's rule from z on. */
function tail(z: number): number {
  if (z < 0) return 1 - tail(-z);
  const steps = 120;
  const width = 10 / steps;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    sum += (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2) * normalDensity(z + i * width);
  }
  return (sum * width) / 3;
}

test.each([
  [12, 20, 3, 20],
  [59, 60, 20, 60],
  [3, 20, 2, 20],
])('two impressions so far apart, judged by tau, give the rates: %i/%i, %i/%i', (hits, different, alarms, same) => {
  const { tau, dPrime, hitRate, falseAlarmRate } = counted(hits, different, alarms, same);
  const close = { relative: 0, absolute: 1e-6 };
  expectClose(calledDifferent(0, tau ?? Number.NaN), falseAlarmRate, close, 'false alarms');
  expectClose(calledDifferent(dPrime ?? Number.NaN, tau ?? Number.NaN), hitRate, close, 'hits');
});

test('d′ grows with the hits and falls with the false alarms, tau falls with them alone; p is Fisher’s', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 3, max: 400 }),
      fc.integer({ min: 3, max: 400 }),
      fc.nat(),
      fc.nat(),
      (different, same, one, two) => {
        const hits = 1 + (one % (different - 2));
        const alarms = 1 + (two % (same - 2));
        const result = counted(hits, different, alarms, same);
        expect(result.p).toBe(fisherUpper(hits, different, alarms, same));
        expect((result.dPrime ?? -1) > 0).toBe(hits / different > alarms / same);
        if (hits + 1 < different) {
          const better = counted(hits + 1, different, alarms, same);
          expect(better.dPrime ?? Number.NaN).toBeGreaterThanOrEqual(result.dPrime ?? Number.NaN);
          expect(better.tau).toBe(result.tau);
          expect(better.p).toBeLessThanOrEqual(result.p);
        }
        if (alarms + 1 < same) {
          const worse = counted(hits, different, alarms + 1, same);
          expect(worse.dPrime ?? Number.NaN).toBeLessThanOrEqual(result.dPrime ?? Number.NaN);
          expect(worse.tau ?? Number.NaN).toBeLessThan(result.tau ?? Number.NaN);
        }
      },
    ),
    { seed: 26, numRuns: 200 },
  );
});

test('no more hits than false alarms is no difference', () => {
  for (const [hits, different, alarms, same] of [
    [5, 20, 5, 20],
    [0, 20, 5, 20],
    [12, 20, 20, 20],
  ] as const) {
    const { dPrime, unbounded, tau } = counted(hits, different, alarms, same);
    expect([dPrime, unbounded]).toEqual([0, false]);
    expect(tau).toBeGreaterThanOrEqual(0);
  }
  expect(counted(12, 20, 20, 20).tau).toBe(0);
});

test('without a false alarm, or with every different pair found, no finite distance fits, and it says so', () => {
  const separate = counted(20, 20, 0, 20);
  expect([separate.tau, separate.dPrime, separate.unbounded]).toEqual([null, null, true]);
  // One way of dealing out 20 answers to 40 pairs.
  expectClose(separate.p, 1 / 137_846_528_820, { relative: 1e-12, absolute: 0 }, 'p');
  const cautious = counted(3, 20, 0, 20);
  expect([cautious.tau, cautious.dPrime, cautious.unbounded]).toEqual([null, null, true]);
  const { tau, dPrime, unbounded } = counted(20, 20, 10, 20);
  expect([dPrime, unbounded]).toEqual([null, true]);
  // Half of the differences of two same impressions lie beyond: √2 times the upper quartile of the normal.
  expectClose(tau, Math.SQRT2 * 0.6744897501960817, rounding, 'tau');
});

test('hardly any difference, and hardly any miss, keep their digits', () => {
  // For small d′ the hits gain d′²/2·τ/√2·φ(τ/√2), τ/√2 being the upper quartile where half are false alarms.
  const small = counted(500_001, 1e6, 500_000, 1e6);
  const quartile = 0.6744897501960817;
  const gain = (quartile * normalDensity(quartile)) / 2;
  expectClose(small.dPrime, Math.sqrt(1e-6 / gain), { relative: 1e-5, absolute: 0 }, 'small');
  // One miss in a thousand million: what lies between −tau and tau of a difference around d′.
  const { dPrime } = counted(999_999_999, 1e9, 500, 1000);
  const distance = (dPrime ?? Number.NaN) / Math.SQRT2;
  const between = normalCdf(quartile - distance) - normalCdf(-quartile - distance);
  expectClose(between, 1e-9, { relative: 1e-10, absolute: 0 }, 'large');
});

test.each([
  [{ sameSaidDifferent: 0, differentSaidDifferent: 0 }, 'no-variation', 'differentSaidDifferent'],
  [{ sameSaidDifferent: 20, differentSaidDifferent: 20 }, 'no-variation', 'differentSaidDifferent'],
  [{ differentSaidDifferent: 21 }, 'out-of-range', 'differentSaidDifferent'],
  [{ sameSaidDifferent: -1 }, 'out-of-range', 'sameSaidDifferent'],
  [{ sameSaidDifferent: 0.5 }, 'wrong-type', 'sameSaidDifferent'],
  [{ samePairs: 0 }, 'out-of-range', 'samePairs'],
  [{ differentPairs: undefined }, 'missing', 'differentPairs'],
  [{ differentPairs: '20' }, 'wrong-type', 'differentPairs'],
  [{ diffPairs: 20 }, 'unknown-option', 'diffPairs'],
] as const)('bad input is refused: %o', (change, code, path) => {
  const input = { differentSaidDifferent: 12, differentPairs: 20, sameSaidDifferent: 5, samePairs: 20, ...change };
  expectRefused(() => sameDifferent(input as unknown as SameDifferentInput), code, path);
});

test('log-linear: as if half an answer more were in each cell, so that any counts give finite figures', () => {
  const corrected = (hits: number, different: number, alarms: number, same: number) =>
    sameDifferent({
      differentSaidDifferent: hits,
      differentPairs: different,
      sameSaidDifferent: alarms,
      samePairs: same,
      correction: 'log-linear',
    });
  // 7.5 of 10 and 2.5 of 10 have the rates of 75 of 100 and 25 of 100.
  const { tau, dPrime } = counted(75, 100, 25, 100);
  const same = corrected(7, 9, 2, 9);
  expectClose(same.tau, tau ?? Number.NaN, rounding, 'tau');
  expectClose(same.dPrime, dPrime ?? Number.NaN, rounding, 'dPrime');
  expect(same).toMatchObject({ hitRate: 7 / 9, falseAlarmRate: 2 / 9, p: counted(7, 9, 2, 9).p });
  for (const [hits, alarms] of [
    [6, 0],
    [0, 0],
    [6, 6],
    [0, 6],
  ] as const) {
    const found = corrected(hits, 6, alarms, 6);
    expect(found.unbounded).toBe(false);
    expect((found.dPrime as number) > 0).toBe(hits > alarms);
  }
});

test('a correction of another name is refused', () => {
  const input = {
    differentSaidDifferent: 3,
    differentPairs: 4,
    sameSaidDifferent: 1,
    samePairs: 4,
    correction: 'half',
  };
  expectRefused(() => sameDifferent(input as unknown as SameDifferentInput), 'unknown-choice', 'correction');
});
