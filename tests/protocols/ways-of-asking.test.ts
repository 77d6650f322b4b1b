import { describe, expect, test } from 'vitest';
import { dPrimeOfFive, shareOfFive } from '../../protocols/two-out-of-five-share';
import { plannedDPrime, wayOfAsking, waysOfAsking } from '../../protocols/ways-of-asking';
import type { MethodId } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';

const samples: Partial<Record<MethodId, number>> = {
  abx: 3,
  triangle: 3,
  'duo-trio': 3,
  '2-afc': 2,
  '3-afc': 3,
  tetrad: 4,
  'two-out-of-five': 5,
  'paired-preference': 2,
};

// Ennis (1993), "The power of sensory discrimination methods", Journal of Sensory Studies 8:353–370 (2-AFC, duo-trio,
// triangle); Ennis, Ennis, Palen & O'Mahony (1998), British Journal of Mathematical and Statistical Psychology 51:205–215
// (tetrad). To three digits, from memory.
test.each([
  ['2-afc', 0.76, 0.921],
  ['duo-trio', 0.582, 0.747],
  ['triangle', 0.418, 0.605],
  ['tetrad', 0.494, 0.778],
] as const)('%s is right in %f at d′ = 1 and in %f at d′ = 2', (method, one, two) => {
  expect(wayOfAsking(method, 1, 0.05, 0.2)?.share).toBeCloseTo(one, 3);
  expect(wayOfAsking(method, 2, 0.05, 0.2)?.share).toBeCloseTo(two, 3);
});

test('one difference to the ear, in every way: the plan’s own as it wants it, each with its samples', () => {
  const plan = aPlan({ method: 'triangle', risks: { smallest: { kind: 'heard', value: 0.3 } } });
  const found = waysOfAsking(plan);
  expect(found?.ways.map(({ method }) => method).sort()).toEqual(Object.keys(samples).sort());
  for (const { method, trials, handOvers } of found?.ways ?? []) {
    expect(handOvers, method).toBe(trials * (samples[method] ?? 0));
  }
  const own = found?.ways.find(({ method }) => method === 'triangle');
  expect(own?.share).toBeCloseTo(1 / 3 + (2 / 3) * 0.3, 12);
  const trials = (method: MethodId) => found?.ways.find((one) => one.method === method)?.trials ?? 0;
  // Whoever knows what differs asks for it, and of the others the tetrad takes fewest.
  expect(trials('3-afc')).toBeLessThan(trials('2-afc'));
  expect(trials('2-afc')).toBeLessThan(trials('tetrad'));
  expect(trials('tetrad')).toBeLessThan(trials('triangle'));
  expect(trials('triangle')).toBeLessThan(trials('duo-trio'));
});

describe('the difference that a plan is after', () => {
  const planned = (method: MethodId, smallest: Parameters<typeof plannedDPrime>[0]['risks']['smallest']) =>
    plannedDPrime({ method: { id: method, spec: {} }, risks: { ...aPlan().risks, smallest } });

  test('is given, or follows from its method', () => {
    // Of two impressions one standard deviation apart the right one is the larger in Φ(1/√2) of trials.
    expect(planned('same-different', { kind: 'd-prime', value: 1.3 })).toBe(1.3);
    expect(planned('2-afc', { kind: 'heard', value: 2 * 0.7602499389065233 - 1 })).toBeCloseTo(1, 10);
    expect(planned('paired-preference', { kind: 'share', value: 0.7602499389065233 })).toBeCloseTo(1, 10);
    expect(planned('ranking', { kind: 'share', value: 0.75 })).toBeNull();
    expect(planned('first-impressions', { kind: 'points', value: 1 })).toBeNull();
  });

  test('so small that nobody could seat the panel: none is told', () => {
    expect(waysOfAsking(aPlan({ method: 'abx', risks: { smallest: { kind: 'heard', value: 0.001 } } }))).toBeNull();
    expect(wayOfAsking('triangle', 0, 0.05, 0.2)).toBeNull();
    expect(wayOfAsking('first-impressions', 1, 0.05, 0.2)).toBeNull();
  });
});

describe('two out of five', () => {
  /** The rule by itself: of ten pairs the one that leaves the least squares, over impressions of other seeds. */
  function byAllPairs(dPrime: number, trials: number): number {
    const random = seededRandom(`five ${dPrime}`);
    // Sum of twelve uniforms, less 6, is near enough to normal.
    const normal = () => Array.from({ length: 12 }, () => random.uniform()).reduce((sum, one) => sum + one, -6);
    const squares = (all: number[]) => {
      const mean = all.reduce((sum, one) => sum + one, 0) / all.length;
      return all.reduce((sum, one) => sum + (one - mean) ** 2, 0);
    };
    let right = 0;
    for (let i = 0; i < trials; i++) {
      const heard = [dPrime + normal(), dPrime + normal(), normal(), normal(), normal()];
      const spreads = [0, 1, 2, 3].flatMap((a) =>
        [1, 2, 3, 4]
          .filter((b) => b > a)
          .map((b) => ({
            pair: `${a}${b}`,
            spread:
              squares([heard[a] ?? 0, heard[b] ?? 0]) + squares(heard.filter((_, place) => place !== a && place !== b)),
          })),
      );
      const best = spreads.reduce((least, one) => (one.spread < least.spread ? one : least));
      if (best.pair === '01') right++;
    }
    return right / trials;
  }

  test.each([0, 1, 3])('the share at d′ = %i is that of the rule', (dPrime) => {
    const share = shareOfFive(dPrime);
    expect(Math.abs(byAllPairs(dPrime, 4000) - share)).toBeLessThan(4 * Math.sqrt((share * (1 - share)) / 4000) + 0.01);
  });

  test('grows with the distance, and the distance is found again', () => {
    const shares = [0, 0.5, 1, 2, 4].map(shareOfFive);
    expect(shares).toEqual(shares.toSorted((a, b) => a - b));
    for (const dPrime of [1, 2]) expect(dPrimeOfFive(shareOfFive(dPrime))).toBeCloseTo(dPrime, 3);
    expect(dPrimeOfFive(0.05)).toBe(0);
    expect(dPrimeOfFive(1.1)).toBe(Number.POSITIVE_INFINITY);
  });
});
