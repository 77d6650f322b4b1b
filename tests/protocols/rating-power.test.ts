import { expect, test } from 'vitest';
import { assumedComparison, powerOfComparison, sizeOfComparison } from '../../protocols/rating-power';
import { sizeForMeans } from '../../stats/size-for-means';

/** Twelve listeners, tastes of 0.7, a residual of 1 and what whole points add to it (1/12, Sheppard 1898). */
const withUnits = (units: number, sessions: number, sd: number) => {
  const left = (1 + 1 / 12) / sessions;
  return { differenceSd: Math.sqrt(2 * (0.49 + left)), units: { of: [units, units] as const, sd, ownVariance: left } };
};

test.each([
  // Units, sessions, their spread, and the share of 1,500 simulated studies that found a difference of 1.5 points
  // (`node tests/bench/bench.mjs unit-power`, tests/bench/results/unit-power.txt).
  [2, 2, 0, 60.2],
  [2, 2, 0.3, 39.4],
  [2, 2, 0.6, 21.9],
  [3, 3, 0, 86.6],
])('%i units in %i sessions that vary by %d: what simulated studies found', (units, sessions, sd, found) => {
  expect(Math.abs(100 * powerOfComparison(withUnits(units, sessions, sd), 12, 1.5, 0.05) - found)).toBeLessThan(3);
});

test('with one unit each it is the paired t test', () => {
  const plan = assumedComparison(1, 1, [1, 1], 1);
  expect(plan).toEqual({ differenceSd: Math.sqrt(3), units: null });
  const { listeners, power } = sizeForMeans({ difference: 1, standardDeviation: Math.sqrt(3), alpha: 0.05, beta: 0.2 });
  expect(sizeOfComparison(plan, 1, 0.05, 0.2)).toBe(listeners);
  expect(powerOfComparison(plan, listeners, 1, 0.05)).toBeCloseTo(power, 12);
});

test('more listeners don’t make up for few units that vary', () => {
  expect(sizeOfComparison(withUnits(2, 2, 0.6), 1.5, 0.05, 0.2)).toBeNull();
  expect(sizeOfComparison(withUnits(2, 2, 0), 1.5, 0.05, 0.2)).toBe(24);
  expect(powerOfComparison(withUnits(2, 2, 0.3), 2, 1.5, 0.05)).toBe(0);
});

test('in fewer sessions than there are units tastes are mixed with them', () => {
  expect(assumedComparison(1, 1, [2, 2], 1).units?.ownVariance).toBe(1.5);
  expect(assumedComparison(1, 1, [2, 2], 2).units?.ownVariance).toBe(1);
});
