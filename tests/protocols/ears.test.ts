import { describe, expect, test } from 'vitest';
import { earsOf } from '../../protocols/ears';
import { methodOf } from '../../protocols/index';
import type { TrialDesign, Truth } from '../../protocols/protocol';
import { shareOfFive } from '../../protocols/two-out-of-five-share';
import type { AudienceId, PrototypeId } from '../../shared/brands';
import type { MethodId } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import { proportionAt, type ThurstonianMethod } from '../../stats/thurstonian';
import { aPlan } from '../blinding/a-plan';
import { quickRandomness } from './whole-study';

/** By which rule each method is answered; two out of five has none in closed form. */
const rules: Partial<Record<MethodId, ThurstonianMethod>> = {
  abx: 'abx-differencing',
  triangle: 'triangle',
  'duo-trio': 'duo-trio',
  '2-afc': '2-afc',
  '3-afc': '3-afc',
  tetrad: 'tetrad',
};

/** Share of right answers of one listener with such ears, over trials as they are drawn. */
function shareRight(method: MethodId, truth: Truth, trials: number): number {
  const plan = aPlan({ method });
  const { protocol, spec, form } = methodOf(plan);
  const random = seededRandom(`${method} ${JSON.stringify(truth)}`);
  const ears = protocol.listener(truth, plan, random);
  const randomness = quickRandomness('ears');
  let right = 0;
  for (let i = 0; i < trials; i++) {
    const seat = { audience: 'home' as AudienceId, ordinal: i + 1, sitting: 1 };
    const practice = { design: { practice: true } as TrialDesign, state: 'answered' } as const;
    const design = protocol.next(spec, plan, seat, [practice], randomness) as TrialDesign;
    const answer = protocol.simulate(truth, ears, { design, form, sitting: 1 }, random);
    right += protocol.score(form, design, answer, plan)[0]?.value ?? Number.NaN;
  }
  return right / trials;
}
const near = (share: number, trials: number) => 4 * Math.sqrt((share * (1 - share)) / trials);

describe.each(Object.entries(rules) as [MethodId, ThurstonianMethod][])('%s', (method, rule) => {
  test.each([1, 2])('by impressions %i standard deviations apart: right as often as its rule has it', (dPrime) => {
    const share = proportionAt(rule, dPrime);
    const got = shareRight(method, { listenersWhoHear: 1, dPrime }, 6000);
    expect(Math.abs(got - share)).toBeLessThan(near(share, 6000));
  });
});

test('two out of five: by the sums of squares of all ten pairs, as often as by the rule on a line', () => {
  for (const dPrime of [1, 2]) {
    const got = shareRight('two-out-of-five', { listenersWhoHear: 1, dPrime }, 6000);
    expect(Math.abs(got - shareOfFive(dPrime))).toBeLessThan(near(shareOfFive(dPrime), 6000));
  }
  expect(shareOfFive(0)).toBeCloseTo(0.1, 2);
});

describe.each(['abx', 'triangle', 'two-out-of-five'] as const)('%s', (method) => {
  const chance = { abx: 1 / 2, triangle: 1 / 3, 'two-out-of-five': 1 / 10 }[method];

  test.each([0.4, 1])('who truly hears it in a share of %f, and else guesses', (heard) => {
    const share = chance + (1 - chance) * heard;
    const got = shareRight(method, { listenersWhoHear: 1, heard }, 3000);
    expect(Math.abs(got - share)).toBeLessThanOrEqual(near(share, 3000));
  });

  test('who hears nothing is right by chance, with a habit of saying the first or without', () => {
    for (const truth of [{}, { positionBias: 2 }, { listenersWhoHear: 0, dPrime: 3 }]) {
      expect(Math.abs(shareRight(method, truth, 3000) - chance)).toBeLessThan(near(chance, 3000));
    }
  });
});

test('a habit pulls to the first answer by so much on the logit scale', () => {
  const plan = aPlan({ method: 'triangle' });
  const { protocol, form } = methodOf(plan);
  const random = seededRandom('habit');
  const design = {
    ordinal: 1,
    practice: false,
    presentations: ['proto-a', 'proto-a', 'proto-b'] as PrototypeId[],
    shown: [0, 1, 2],
    replaces: null,
  };
  const ears = protocol.listener({}, plan, random);
  let first = 0;
  for (let i = 0; i < 3000; i++) {
    const answer = protocol.simulate({ positionBias: 1 }, ears, { design, form, sitting: 1 }, random);
    if ((answer as { picked: number }).picked === 1) first++;
  }
  const share = Math.E / (Math.E + 2);
  expect(Math.abs(first / 3000 - share)).toBeLessThan(near(share, 3000));
});

describe('controls', () => {
  const plan = aPlan({
    method: '2-afc',
    prototypes: 3,
    controls: { knownDifference: { trials: 1, prototype: 'proto-c' } },
  });

  test('a known difference is heard by everybody; in a directional pair it is the one that has more', () => {
    const { protocol, spec, form } = methodOf(plan);
    const ears = protocol.listener({}, plan, seededRandom(1));
    for (let seed = 0; seed < 10; seed++) {
      const pair = ['proto-a', 'proto-c'] as [PrototypeId, PrototypeId];
      const trial = protocol.controlTrial?.(spec, plan, pair, quickRandomness(String(seed)));
      const design = {
        ordinal: 1,
        practice: false,
        replaces: null,
        control: 'knownDifference',
        ...(trial ?? { presentations: [], shown: [] }),
      } as const;
      const answer = protocol.simulate({}, ears, { design, form, sitting: 1 }, seededRandom(seed));
      expect(answer).toEqual({ picked: design.presentations.indexOf('proto-c' as PrototypeId) + 1 });
      expect(protocol.score(form, design, answer, plan)).toMatchObject([{ value: 1 }]);
      expect(protocol.score(form, { ...design, presentations: pair }, { picked: 1 }, plan)).toMatchObject([
        { value: 0 },
      ]);
    }
  });

  test('two units of one prototype are alike to every virtual ear', () => {
    const two = aPlan({ method: 'triangle' });
    const { protocol, form } = methodOf(two);
    const random = seededRandom('units');
    const presentations = ['proto-a', 'proto-a', 'proto-a'] as PrototypeId[];
    const design = { ordinal: 1, practice: false, presentations, shown: [0, 1, 2], replaces: null, control: 'units' };
    for (const truth of [{ listenersWhoHear: 1 }, { listenersWhoHear: 1, dPrime: 5 }]) {
      const ears = earsOf(truth, two, random);
      const picked = Array.from({ length: 900 }, () => {
        const meeting = { design: design as TrialDesign, form, sitting: 1 };
        return (protocol.simulate(truth, ears, meeting, random) as { picked: number }).picked;
      });
      for (const place of [1, 2, 3]) {
        const share = picked.filter((one) => one === place).length / picked.length;
        expect(Math.abs(share - 1 / 3)).toBeLessThan(near(1 / 3, 900));
      }
    }
  });
});
