import { describe, expect, test } from 'vitest';
import {
  assumedRatings,
  assumedSd,
  impressionFinds,
  plannedVarianceLeft,
  ratingPower,
  ratingSize,
} from '../../protocols/first-impressions-power';
import { sizeForMeans } from '../../stats/size-for-means';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const planOf = (wish: PlanWish) => aPlan({ method: 'first-impressions', scales: ['liking'], ...wish });

test('the assumptions, and the spread of a listener’s difference that follows from them', () => {
  expect(assumedRatings).toEqual({ residualSd: 1, tasteShare: 0.5 });
  // Two means, each with taste ½ and a residual of 1, ½, … : √(2·(½ + 1)), √(2·(½ + ½)); without end √(2·½).
  expect(assumedSd(1)).toBeCloseTo(Math.sqrt(3), 14);
  expect(assumedSd(1 / 2)).toBeCloseTo(Math.sqrt(2), 14);
  expect(assumedSd(0)).toBe(1);
});

test.each([
  [{ sessions: 1 }, 1],
  [{ sessions: 4 }, 1 / 4],
  // Every prototype twice in a sitting.
  [{ prototypes: 3, hiddenRepeats: 3, sessions: 1 }, 1 / 2],
  // One of two twice: half of the cells have 1, half have ½.
  [{ prototypes: 2, hiddenRepeats: 1, sessions: 1 }, 3 / 4],
  [{ prototypes: 2, hiddenRepeats: 1, sessions: 3 }, 1 / 4],
])('of a single rating’s variance %j leave %d', (wish, left) => {
  expect(plannedVarianceLeft(planOf(wish))).toBeCloseTo(left, 14);
});

describe('power and size', () => {
  test('34 listeners find half a standard deviation with power 0.808 (from memory, as textbooks on power print it)', () => {
    expect(ratingPower(34, 0.5, 1, 0.05)).toBeCloseTo(0.808, 3);
    expect(ratingSize(0.5, 1, 0.05, 0.2)).toBe(34);
  });

  test('power is what sizes are reckoned with, and one listener fewer would not do', () => {
    for (const [difference, sd, alpha, beta] of [
      [1, 1.7, 0.05, 0.2],
      [0.5, 1.4, 0.025, 0.1],
      [2, 1.2, 0.01, 0.05],
    ] as const) {
      const { listeners, power } = sizeForMeans({ standardDeviation: sd, difference, alpha, beta });
      expect(ratingPower(listeners, difference, sd, alpha)).toBeCloseTo(power, 14);
      expect(ratingPower(listeners - 1, difference, sd, alpha)).toBeLessThan(1 - beta);
      expect(ratingSize(difference, sd, alpha, beta)).toBe(listeners);
    }
  });

  test('fewer than three are never tested, so they find nothing, and three is the least that is asked for', () => {
    expect([0, 1, 2].map((listeners) => ratingPower(listeners, 8, 1, 0.05))).toEqual([0, 0, 0]);
    expect(ratingPower(3, 8, 1, 0.05)).toBeGreaterThan(0.9);
    expect(ratingSize(8, 0.1, 0.2, 0.5)).toBe(3);
    // So little spread that it isn't reckoned any more.
    expect(ratingSize(1, 1e-6, 0.05, 0.2)).toBe(3);
    expect(ratingSize(1e-6, 10, 0.05, 0.2)).toBeNull();
  });

  test('grows with listeners and differences, and shrinks with α and spread', () => {
    const power = (n: number, d: number, sd: number, alpha: number) => ratingPower(n, d, sd, alpha);
    expect(power(13, 1, 1.5, 0.05)).toBeGreaterThan(power(12, 1, 1.5, 0.05));
    expect(power(12, 1.1, 1.5, 0.05)).toBeGreaterThan(power(12, 1, 1.5, 0.05));
    expect(power(12, 1, 1.5, 0.05)).toBeGreaterThan(power(12, 1, 1.5, 0.025));
    expect(power(12, 1, 1.5, 0.05)).toBeGreaterThan(power(12, 1, 1.6, 0.05));
  });
});

describe('what a plan finds', () => {
  const plan = planOf({
    sessions: 4,
    audiences: [
      ['home', 12],
      ['stage', 6],
    ],
    risks: { smallest: { kind: 'points', value: 0.8 } },
  });
  const finds = impressionFinds(plan);

  test('for each audience, at its share of α', () => {
    expect(finds.map(({ audience, listeners, alpha }) => [audience, listeners, alpha])).toEqual([
      ['home', 12, 0.025],
      ['stage', 6, 0.025],
    ]);
    const sd = Math.sqrt(2 * (1 / 2 + 1 / 4));
    for (const { power, standardDeviation, listeners } of finds) {
      expect(standardDeviation).toBeCloseTo(sd, 14);
      expect(power.map(({ points, smallest }) => [points, smallest])).toEqual([
        [0.5, false],
        [0.8, true],
        [1, false],
        [1.5, false],
        [2, false],
      ]);
      for (const one of power) expect(one.power).toBeCloseTo(ratingPower(listeners, one.points, sd, 0.025), 14);
    }
    const needed = sizeForMeans({ standardDeviation: sd, difference: 0.8, alpha: 0.025, beta: 0.2 }).listeners;
    expect(finds.map((one) => one.needed)).toEqual([needed, needed]);
  });

  test('no difference is asked about that the scale doesn’t have, and the smallest stands there once', () => {
    const scale = { id: 'x', name: 'X', low: 'low', high: 'high', polarity: 'unipolar' as const, points: 3 };
    const wish = { scales: [scale], risks: { smallest: { kind: 'points' as const, value: 1.5 } } };
    const [only] = impressionFinds(planOf(wish));
    expect(only?.power.map(({ points }) => points)).toEqual([0.5, 1, 1.5, 2]);
    expect(only?.power.filter(({ smallest }) => smallest)).toHaveLength(1);
  });

  test('sessions help, up to what tastes leave', () => {
    const at = (sessions: number) =>
      impressionFinds(planOf({ sessions, audiences: [['home', 10]] }))[0]?.power.find(({ smallest }) => smallest)
        ?.power ?? 0;
    expect(at(2)).toBeGreaterThan(at(1));
    expect(at(12)).toBeLessThan(ratingPower(10, 1, assumedSd(0), 0.05));
  });
});
