import { describe, expect, test } from 'vitest';
import { methodOf } from '../../protocols/index';
import type { Seat, TrialDesign, TrialPast } from '../../protocols/protocol';
import { randomnessOf } from '../../server/blinding/randomness';
import type { AudienceId, PrototypeId } from '../../shared/brands';
import type { MethodId } from '../../shared/plan';
import { binomialPmf } from '../../stats/binomial';
import { binomialTest } from '../../stats/binomial-test';
import { chiSquareUpper } from '../../stats/distributions';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { designsOf, quickRandomness } from './whole-study';

/** How many orders each method has, and which one is which is told by its letters. */
const orders: [MethodId, number, unknown?][] = [
  ['triangle', 6],
  ['duo-trio', 4],
  ['duo-trio', 2, { trials: 4, reference: 'constant' }],
  ['2-afc', 2],
  ['3-afc', 3],
  ['tetrad', 6],
  ['two-out-of-five', 20],
];
const seatOf = (ordinal: number, sitting = 1): Seat => ({ audience: 'home' as AudienceId, ordinal, sitting });
const letters = ({ presentations }: TrialDesign) => presentations.map((one) => one.slice(-1)).join('');
const planOf = (method: MethodId, wish: PlanWish = {}) => aPlan({ method, trials: 4, ...wish });
/** Scored trials of one sitting, as letters. */
const sitting = (method: MethodId, ordinal: number, seed: string, wish: PlanWish = {}, number = 1): string[] =>
  designsOf(planOf(method, wish), seatOf(ordinal, number), quickRandomness(seed)).slice(1).map(letters);

describe.each(orders)('%s in %i orders', (method, count, spec) => {
  const own = spec === undefined ? {} : { spec };
  const often = (sittings: string[][]): number[] => {
    const all = new Map<string, number>();
    for (const order of sittings.flat()) all.set(order, (all.get(order) ?? 0) + 1);
    expect(all.size).toBe(count);
    return [...all.values()];
  };
  const panel = (listeners: number, from: number, wish: PlanWish, number = 1) =>
    Array.from({ length: listeners }, (_, i) =>
      sitting(method, from + i, 'panel', { ...own, ...wish, audiences: [['home', listeners]] }, number),
    );

  test('with several trials each, all orders come equally often over the panel, but for three; so do walk-ins, in a list of their own', () => {
    for (const [from, number] of [
      [1, 1],
      [16, 1],
      [1, 2],
    ] as const) {
      const counts = often(panel(15, from, {}, number));
      expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(4);
    }
  });

  test('with one answer each, as the standards have it, equally often altogether', () => {
    const once: PlanWish = spec === undefined ? { trials: 1 } : { spec: { ...(spec as object), trials: 1 } };
    expect(new Set(often(panel(2 * count, 1, once)))).toEqual(new Set([2]));
    const counts = often(panel(2 * count + 1, 1, once));
    expect(Math.max(...counts) - Math.min(...counts)).toBe(1);
  });

  test('where the plan has looks, or one listener, an order hangs on its own address only', () => {
    const looks: PlanWish = { ...own, looks: { kind: 'always-valid' } };
    for (const wish of [looks, { ...own, audiences: [['home', 1]] } satisfies PlanWish]) {
      const all = Array.from({ length: 40 * count }, (_, i) => sitting(method, 1, `study ${i}`, wish)[0] as string);
      const counts = often([all]);
      expect(fits(counts, Array<number>(count).fill(40))).toBeGreaterThan(0.001);
    }
    const larger: PlanWish = { ...looks, audiences: [['home', 31]] };
    expect(sitting(method, 5, 'panel', larger)).toEqual(sitting(method, 5, 'panel', looks));
  });
});

/** p of Pearson's χ² for counts with these expectations. */
function fits(counts: readonly number[], expected: readonly number[]): number {
  const statistic = counts.reduce((sum, count, i) => {
    const own = expected[i] ?? Number.NaN;
    return sum + (count - own) ** 2 / own;
  }, 0);
  return chiSquareUpper(statistic, counts.length - 1);
}

describe.each([
  ['triangle', 3, (order: string) => [...order].findIndex((letter) => order.split(letter).length === 2)],
  ['2-afc', 2, (order: string) => order.indexOf('a')],
  ['tetrad', 3, (order: string) => ['aabb', 'abab', 'abba'].findIndex((one) => alike(one, order))],
] as const)('%s: trials of one listener are independent: fixed seeds, 400 sittings of 6', (method, ways, right) => {
  const sittings = Array.from({ length: 400 }, (_, i) =>
    sitting(method, 1 + (i % 7), `study ${i}`, { trials: 6, audiences: [['home', 40]] }).map(right),
  );

  test('what is right comes equally often, at each trial', () => {
    for (let trial = 0; trial < 6; trial++) {
      const counts = Array.from({ length: ways }, (_, way) => sittings.filter((own) => own[trial] === way).length);
      expect(counts.reduce((sum, one) => sum + one, 0)).toBe(400);
      expect(fits(counts, Array<number>(ways).fill(400 / ways)), `trial ${trial}`).toBeGreaterThan(0.001);
    }
  });

  test('the trial before tells nothing of the next', () => {
    const counts = Array<number>(ways * ways).fill(0);
    for (const own of sittings) {
      for (let trial = 1; trial < 6; trial++) {
        const cell = (own[trial - 1] ?? 0) * ways + (own[trial] ?? 0);
        counts[cell] = (counts[cell] ?? 0) + 1;
      }
    }
    expect(fits(counts, Array<number>(ways * ways).fill(2000 / ways ** 2))).toBeGreaterThan(0.001);
  });

  test.each([
    ['always the same', () => 0],
    ['all evenly, in turn', (trial: number) => trial % ways],
  ] as [string, (trial: number) => number][])(
    'rights of a sitting come as the binomial has them, whoever answers %s',
    (_, habit) => {
      // Were a sitting balanced, whoever spreads answers evenly would be right ever so evenly, or unevenly.
      const rights = sittings.map((own) => own.filter((one, trial) => one === habit(trial)).length);
      const cells = [0, 1, 2, 3, 4].map((k) => rights.filter((one) => one === k).length);
      const chance = [0, 1, 2, 3, 4].map((k) => 400 * binomialPmf(k, 6, 1 / ways));
      const beyond = 400 - chance.reduce((sum, one) => sum + one, 0);
      const rest = 400 - cells.reduce((sum, one) => sum + one, 0);
      expect(fits([...cells, rest], [...chance, beyond])).toBeGreaterThan(0.001);
    },
  );
});

/** The same two groups, whichever of the two is named first. */
const alike = (one: string, other: string) =>
  one === other || [...one].map((letter) => (letter === 'a' ? 'b' : 'a')).join('') === other;

describe('duo-trio', () => {
  test('constant: the reference is always the one that the primary comparison names first', () => {
    const wish: PlanWish = { spec: { trials: 4, reference: 'constant' }, primary: [1, 0] };
    const all = [1, 2, 3].flatMap((ordinal) => sitting('duo-trio', ordinal, 'constant', wish));
    expect(all.every((order) => order.startsWith('b'))).toBe(true);
    expect(new Set(all)).toEqual(new Set(['bba', 'bab']));
  });
});

test('3-AFC: the one that should have more is there once, whichever it is', () => {
  const plan = planOf('3-afc', { primary: [1, 0] });
  const all = [1, 2, 3].flatMap((ordinal) =>
    designsOf(plan, seatOf(ordinal), quickRandomness('more')).map((design) => letters(design)),
  );
  expect(all.every((order) => order.split('b').length === 2)).toBe(true);
});

describe('a trial put again', () => {
  test('is drawn anew, as often in each order, whatever the spoilt one was', () => {
    const plan = planOf('2-afc');
    const { protocol, spec } = methodOf(plan);
    let turned = 0;
    for (let seed = 0; seed < 250; seed++) {
      const randomness = quickRandomness(`again ${seed}`);
      const history = designsOf(plan, seatOf(1), randomness).map(
        (design): TrialPast => ({ design, state: design.ordinal === 2 ? 'void' : 'answered' }),
      );
      const again = protocol.next(spec, plan, seatOf(1), history, randomness) as TrialDesign;
      expect(again).toMatchObject({ ordinal: 5, replaces: 2, practice: false });
      if (letters(again) !== letters(history[2]?.design as TrialDesign)) turned++;
    }
    expect(binomialTest({ correct: turned, trials: 250, alternative: 'two-sided' }).p).toBeGreaterThan(0.001);
  });
});

describe('an allocation hangs on its own address only', () => {
  test('whoever asks first, and however often', () => {
    const plan = planOf('triangle', { trials: 6 });
    const { protocol, spec } = methodOf(plan);
    const secret = () => randomnessOf(Buffer.alloc(32, 9), 1);
    const shared = secret();
    const whole = [1, 2, 7].map((ordinal) => designsOf(plan, seatOf(ordinal), shared));
    for (const [at, ordinal] of [7, 1, 2].entries()) {
      const history = whole[[2, 0, 1][at] as number]?.map((design): TrialPast => ({ design, state: 'open' })) ?? [];
      for (let trial = 6; trial >= 1; trial--) {
        const asked = protocol.next(spec, plan, seatOf(ordinal), history.slice(0, trial), secret());
        expect(asked).toEqual(history[trial]?.design);
      }
    }
  });
});

describe('bad input', () => {
  test.each(orders)('%s refuses anything but two prototypes and 1 to 40 trials, by field', (method) => {
    const plan = planOf(method);
    const { protocol, spec } = methodOf(plan);
    const three = planOf(method, { prototypes: 3 });
    const [problem, ...others] = protocol.problems(spec, three);
    expect(others).toEqual([]);
    expect(problem).toMatchObject({ code: 'not-two', path: 'prototypes', got: '3' });
    expect(problem?.message).toMatch(/compares two prototypes, and this plan has 3\. Keep two of them/);
    for (const trials of [0, 41, 1.5, '6', undefined]) {
      expect(protocol.spec.safeParse({ ...(spec as object), trials }).success, String(trials)).toBe(false);
    }
    expect(protocol.spec.safeParse({ ...(spec as object), odd: 1 }).success).toBe(false);
  });

  test.each(['', '   ', 'b'.repeat(41), 3, undefined])('no attribute is “%s”', (attribute) => {
    const { protocol } = methodOf(planOf('2-afc'));
    expect(protocol.spec.safeParse({ trials: 6, attribute }).success).toBe(false);
    expect(protocol.spec.parse({ trials: 6, attribute: ' upper bass ' })).toEqual({
      trials: 6,
      attribute: 'upper bass',
    });
  });

  test('no reference but balanced and constant', () => {
    const { protocol } = methodOf(planOf('duo-trio'));
    expect(protocol.spec.parse({ trials: 6 })).toEqual({ trials: 6, reference: 'balanced' });
    expect(protocol.spec.safeParse({ trials: 6, reference: 'first' }).success).toBe(false);
  });
});

test('known differences: in a triangle either may be the odd one, in a directional three the known one is', () => {
  const pair = ['proto-a', 'proto-c'] as [PrototypeId, PrototypeId];
  const wish: PlanWish = { prototypes: 3, controls: { knownDifference: { trials: 1, prototype: 'proto-c' } } };
  const trials = (method: MethodId) => {
    const plan = planOf(method, wish);
    const { protocol, spec } = methodOf(plan);
    return new Set(
      Array.from({ length: 60 }, (_, seed) => {
        const made = protocol.controlTrial?.(spec, plan, pair, quickRandomness(`control ${seed}`));
        return letters({ presentations: made?.presentations ?? [] } as unknown as TrialDesign);
      }),
    );
  };
  expect(trials('triangle').size).toBe(6);
  expect([...trials('3-afc')].sort()).toEqual(['aac', 'aca', 'caa']);
});
