import { describe, expect, test } from 'vitest';
import { rightsFinds, rightsMisses, rightsNeeded, rightsPower } from '../../protocols/rights-power';
import { waysOfAsking } from '../../protocols/ways-of-asking';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const abxFinds = (plan: Plan) => rightsFinds(plan, 1 / 2);
const abxNeeded = (plan: Plan) => rightsNeeded(plan, 1 / 2);
const abxPower = (trials: number, alpha: number, heard: number) => rightsPower(trials, 1 / 2, alpha, heard);
const abxMisses = (trials: number, alpha: number, heard: number) => rightsMisses(trials, 1 / 2, alpha, heard);
const planOf = (heard: number, wish: PlanWish = {}): Plan =>
  aPlan({ method: 'abx', risks: { smallest: { kind: 'heard', value: heard } }, ...wish });

/** P(X ≥ correct), by adding up. */
function tail(correct: number, n: number, chance: number): number {
  let [ways, total] = [1, 0];
  for (let k = 0; k <= n; k++) {
    if (k >= correct) total += ways * chance ** k * (1 - chance) ** (n - k);
    ways = (ways * (n - k)) / (k + 1);
  }
  return total;
}
const fewest = (n: number, alpha: number) =>
  Array.from({ length: n + 1 }, (_, k) => k).find((k) => tail(k, n, 0.5) <= alpha) ?? n + 1;

test('power and misses by adding up: 8 listeners, 6 trials, two sessions', () => {
  const finds = abxFinds(planOf(0.3, { sessions: 2 }));
  const critical = fewest(96, 0.05);
  expect(finds).toMatchObject({ alpha: 0.05, trialsEach: 12 });
  expect(finds.audiences).toMatchObject([{ audience: 'home', listeners: 8, trials: 96, critical }]);
  expect(finds.audiences[0]?.power).toBeCloseTo(tail(critical, 96, 0.65), 12);
  expect(finds.audiences[0]?.misses.map(({ heard }) => heard)).toEqual([0.1, 0.2, 0.3, 0.5, 0.7]);
  for (const { heard, miss } of finds.audiences[0]?.misses ?? []) {
    expect(miss).toBeCloseTo(1 - tail(critical, 96, (1 + heard) / 2), 12);
  }
});

test('each audience by itself, at the α that is left when the others show nothing', () => {
  const finds = abxFinds(
    planOf(0.5, {
      audiences: [
        ['home', 8],
        ['stage', 3],
        ['club', 1],
      ],
    }),
  );
  expect(finds.alpha).toBeCloseTo(0.05 / 3, 15);
  expect(finds.audiences.map(({ trials, critical }) => [trials, critical])).toEqual([
    [48, fewest(48, 0.05 / 3)],
    [18, fewest(18, 0.05 / 3)],
    [6, 6],
  ]);
});

test('so few trials that nothing can be shown: no count is enough, and every difference is missed', () => {
  const finds = abxFinds(planOf(0.5, { audiences: [['home', 1]], trials: 4 }));
  expect(finds.audiences[0]).toMatchObject({ trials: 4, critical: null, power: 0 });
  expect(finds.audiences[0]?.misses.every(({ miss }) => miss === 1)).toBe(true);
  expect(abxPower(0, 0.05, 0.5)).toBe(0);
  expect(abxMisses(1, 0.05, 0.2)).toHaveLength(5);
});

describe('listeners needed', () => {
  test.each([0.2, 0.3, 0.5, 0.7, 0.9])(
    'a difference heard in %f of the trials: from there on power never falls short',
    (heard) => {
      for (const trials of [1, 5, 6, 12]) {
        const plan = planOf(heard, { trials });
        const needed = abxNeeded(plan);
        if (!needed) throw new Error('it can be reached');
        expect(needed.trials).toBe(needed.listeners * trials);
        const power = (listeners: number) => abxPower(listeners * trials, 0.05, heard);
        for (let more = 0; more < 30; more++) expect(power(needed.listeners + more)).toBeGreaterThanOrEqual(0.8);
        if (needed.listeners > 1) expect(power(needed.listeners - 1)).toBeLessThan(0.8);
      }
    },
  );

  test('further audiences ask for more; sessions share the work', () => {
    const alone = abxNeeded(planOf(0.3))?.listeners ?? 0;
    const beside =
      abxNeeded(
        planOf(0.3, {
          audiences: [
            ['home', 8],
            ['stage', 8],
          ],
        }),
      )?.listeners ?? 0;
    const often = abxNeeded(planOf(0.3, { sessions: 3 }))?.listeners ?? 0;
    expect(beside).toBeGreaterThan(alone);
    expect(often).toBe(Math.ceil(alone / 3));
  });

  test('next to nothing to hear: no number, instead of one that nobody could seat', () => {
    expect(abxNeeded(planOf(0.001))).toBeNull();
    expect(abxFinds(planOf(0.001))).toMatchObject({ needed: null, ways: null });
  });
});

describe('handling beside a pair', () => {
  const asked = (plan: Plan) => {
    const found = waysOfAsking(plan);
    const way = (id: string) => {
      const one = found?.ways.find(({ method }) => method === id);
      if (!one) throw new Error('it can be reached');
      return one;
    };
    return {
      dPrime: found?.dPrime ?? 0,
      abx: way('abx'),
      directional: way('2-afc'),
      preference: way('paired-preference'),
    };
  };

  /** Φ by Simpson's rule over the density from 0. */
  function phi(z: number): number {
    const [steps, h] = [2000, z / 2000];
    const density = (x: number) => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
    let sum = density(0) + density(z);
    for (let i = 1; i < steps; i++) sum += (i % 2 === 1 ? 4 : 2) * density(i * h);
    return 0.5 + (sum * h) / 3;
  }

  test.each([0.1, 0.3, 0.5, 0.8])(
    'heard in %f of the trials: one distance, by the formulas of both ways of asking',
    (heard) => {
      const handling = asked(planOf(heard));
      const d = handling.dPrime;
      // ABX by differencing: both differences to the right side, or both to the wrong one; 2-AFC: one of √2 spread.
      // Macmillan & Creelman (2005), Detection Theory, chapters 7 and 9, from memory.
      const [near, far] = [phi(d / Math.SQRT2), phi(d / Math.sqrt(6))];
      expect(near * far + (1 - near) * (1 - far)).toBeCloseTo((1 + heard) / 2, 9);
      expect(handling.abx.share).toBeCloseTo((1 + heard) / 2, 12);
      expect(handling.directional.share).toBeCloseTo(near, 9);
      expect(handling.preference.share).toBe(handling.directional.share);
      const { abx, directional, preference } = handling;
      expect(abx.handOvers).toBe(3 * abx.trials);
      expect([directional.handOvers, preference.handOvers]).toEqual([2 * directional.trials, 2 * preference.trials]);
      // Each number of trials reaches the power, and one less somewhere beyond it doesn't.
      const power = (trials: number, share: number) => tail(fewest(trials, 0.05), trials, share);
      expect(power(abx.trials, abx.share)).toBeGreaterThanOrEqual(0.8);
      expect(power(abx.trials - 1, abx.share)).toBeLessThan(0.8);
      expect(power(directional.trials, directional.share)).toBeGreaterThanOrEqual(0.8);
      expect(power(directional.trials - 1, directional.share)).toBeLessThan(0.8);
      expect(preference.trials).toBeGreaterThanOrEqual(directional.trials);
    },
  );

  test('what the numbers say up to a difference heard in 6 of 10 trials: less than a third, a preference little more', () => {
    for (const heard of [0.1, 0.2, 0.3, 0.4, 0.5, 0.6]) {
      const handling = asked(planOf(heard));
      const of = (way: 'directional' | 'preference') => handling[way].handOvers / handling.abx.handOvers;
      expect(of('directional')).toBeLessThan(1 / 3);
      expect(of('preference')).toBeLessThan(0.36);
    }
    // A difference that is nearly always heard needs few trials however it is asked.
    const plain = asked(planOf(0.95));
    expect(plain.directional.handOvers / plain.abx.handOvers).toBeGreaterThan(1 / 3);
  });
});
