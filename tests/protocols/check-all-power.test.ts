import { describe, expect, test } from 'vitest';
import { tickedFinds, tickedPower, tickedSize } from '../../protocols/check-all-power';
import { ownShare } from '../../protocols/virtual-listener';
import { mcnemar } from '../../stats/mcnemar';
import { seededRandom } from '../../stats/seeded-random';
import { signFlipOfWhole } from '../../stats/sign-flip';
import { aPlan } from '../blinding/a-plan';

const factorial = (n: number): number => (n < 2 ? 1 : n * factorial(n - 1));

/** By the definition: all panels in which so many changed one way and so many the other. */
function enumerated(n: number, difference: number, alpha: number): number {
  // A beta-distributed chance with γ = 0.3 lies about its mean with variance γ·mean·(1 − mean).
  const ownVariance = (0.3 * (1 - difference ** 2)) / 4;
  const changing = ((1 + difference) / 2) ** 2 + ((1 - difference) / 2) ** 2 + 2 * ownVariance;
  const [up, down] = [(changing + difference) / 2, (changing - difference) / 2];
  let power = 0;
  for (let b = 0; b <= n; b++) {
    for (let c = 0; b + c <= n; c++) {
      if (mcnemar({ b, c }).p > alpha) continue;
      const ways = factorial(n) / factorial(b) / factorial(c) / factorial(n - b - c);
      power += ways * up ** b * down ** c * (1 - changing) ** (n - b - c);
    }
  }
  return power;
}

test('one answer each: exact, by enumeration with McNemar’s own p', () => {
  for (const [n, difference, alpha] of [
    [5, 0.9, 0.05],
    [6, 0.9, 0.05],
    [12, 0.4, 0.05],
    [20, 0.3, 0.025],
    [30, 0, 0.05],
  ] as const) {
    expect(tickedPower(n, difference, 1, alpha), `${n}`).toBeCloseTo(enumerated(n, difference, alpha), 10);
  }
});

test('nothing there: never found more often than α, and five listeners never find anything', () => {
  for (const n of [8, 25, 60, 200]) expect(tickedPower(n, 0, 1, 0.05)).toBeLessThanOrEqual(0.05);
  expect(tickedPower(5, 1, 1, 0.05)).toBe(0);
  expect(tickedPower(6, 1, 1, 0.05)).toBeCloseTo(1, 12);
});

test('more times find more, but no repetition takes the place of listeners', () => {
  const over = (times: number) => tickedPower(30, 0.3, times, 0.05);
  expect(over(2)).toBeGreaterThan(over(1) + 0.08);
  expect(over(6)).toBeGreaterThan(over(2));
  expect(over(36)).toBeLessThan(0.95);
});

describe('as simulated with ticks, for one time each and for several', () => {
  test.each([
    [1, 24],
    [3, 16],
  ])('%d times, %d listeners', (times, n) => {
    const random = seededRandom(`ticks ${times}`);
    let found = 0;
    const panels = 1200;
    for (let panel = 0; panel < panels; panel++) {
      const nets = Array.from({ length: n }, () => {
        const own = ownShare(0.65, 0.3, random);
        let net = 0;
        for (let time = 0; time < times; time++) {
          net += Number(random.uniform() < own) - Number(random.uniform() < 1 - own);
        }
        return net;
      });
      if (signFlipOfWhole(nets, 'two-sided') <= 0.05) found++;
    }
    expect(Math.abs(found / panels - tickedPower(n, 0.3, times, 0.05))).toBeLessThan(0.05);
  });
});

test('the size is the fewest from whom on power holds', () => {
  for (const [difference, times, alpha] of [
    [0.3, 1, 0.05],
    [0.5, 1, 0.025],
  ] as const) {
    const size = tickedSize(difference, times, alpha, 0.2) as number;
    for (const more of [0, 1, 2, 3, 4]) {
      expect(tickedPower(size + more, difference, times, alpha)).toBeGreaterThanOrEqual(0.8);
    }
    const before = [1, 2, 3, 4, 5].map((fewer) => tickedPower(size - fewer, difference, times, alpha));
    expect(Math.min(...before)).toBeLessThan(0.8);
  }
  expect(tickedSize(0.01, 1, 0.05, 0.2)).toBeNull();
  const several = tickedSize(0.4, 3, 0.05, 0.2) as number;
  expect(tickedPower(several, 0.4, 3, 0.05)).toBeGreaterThanOrEqual(0.8);
  expect(several).toBeLessThan(tickedSize(0.4, 1, 0.05, 0.2) as number);
});

test('what a plan can find: by audience, at its share of α, over rounds and sessions', () => {
  const plan = aPlan({
    method: 'check-all',
    rounds: 2,
    sessions: 2,
    audiences: [
      ['home', 20],
      ['stage', 8],
    ],
  });
  const [home, stage] = tickedFinds(plan);
  expect(home).toMatchObject({ audience: 'home', listeners: 20, times: 4, alpha: 0.025 });
  expect(home?.power.map(({ ticked }) => ticked)).toEqual([0.1, 0.2, 0.3, 0.4, 0.5]);
  expect(home?.power.filter(({ smallest }) => smallest)).toEqual([
    { ticked: 0.3, power: tickedPower(20, 0.3, 4, 0.025), smallest: true },
  ]);
  expect(stage?.needed).toBe(tickedSize(0.3, 4, 0.025, 0.2));
});
