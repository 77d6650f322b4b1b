import { expect, test } from 'vitest';
import { rankingOrder } from '../../protocols/ranking-order';
import { randomnessOf } from '../../server/blinding/randomness';
import type { AudienceId } from '../../shared/brands';
import { aPlan } from '../blinding/a-plan';
import { quickRandomness } from './whole-study';

const home = 'home' as AudienceId;
const planOf = (listeners: number, sessions = 1) => aPlan({ audiences: [['home', listeners]], sessions });

/** All rankings of a panel, by sitting. */
function served(n: number, size: number, rankings: number, listeners: number, sessions = 1, seed = 'one') {
  const plan = planOf(listeners, sessions);
  const randomness = quickRandomness(seed);
  return Array.from({ length: sessions }, (_, s) =>
    Array.from({ length: listeners }, (_, i) =>
      Array.from({ length: rankings }, (_, ranking) =>
        rankingOrder(
          n,
          { size, rankings },
          { audience: home, ordinal: i + 1, sitting: s + 1 },
          ranking,
          plan,
          randomness,
        ),
      ),
    ),
  );
}

const counts = (keys: readonly string[]) => {
  const map = new Map<string, number>();
  for (const key of keys) map.set(key, (map.get(key) ?? 0) + 1);
  return map;
};
const places = (orders: readonly number[][]) =>
  counts(orders.flatMap((order) => order.map((one, at) => `${one} at ${at}`)));
const pairs = (orders: readonly number[][]) =>
  counts(orders.flatMap((order) => order.flatMap((a) => order.filter((b) => a < b).map((b) => `${a} with ${b}`))));

test.each([3, 4, 5, 6])('all %i in a ranking: even places and neighbours over each block of listeners', (n) => {
  const block = n % 2 === 0 ? n : 2 * n;
  const orders = served(n, n, 2, block).flat();
  for (const ranking of [0, 1]) {
    const own = orders.map((both) => both[ranking] as number[]);
    expect([...places(own).values()]).toEqual(Array(n * n).fill(block / n));
    const neighbours = counts(own.flatMap((order) => order.slice(1).map((one, at) => `${order[at]} ${one}`)));
    expect([...neighbours.values()]).toEqual(Array(n * (n - 1)).fill(block / n));
  }
  // Nobody is asked for the same order of hearing twice running.
  for (const [first, second] of orders) expect(first).not.toEqual(second);
});

test.each([
  // Prototypes, size, blocks of the design, times that two meet.
  [4, 3, 4, 2],
  [5, 3, 10, 3],
  [6, 3, 10, 2],
  [7, 3, 7, 1],
  [7, 4, 7, 2],
  [8, 4, 14, 3],
])(
  '%i in blocks of %i: after every %i rankings each two have met %i times, and places are even',
  (n, size, blocks, met) => {
    for (const rankings of [1, 2]) {
      const listeners = (blocks * 2) / rankings;
      const orders = served(n, size, rankings, listeners).flat(2);
      expect(orders.every((order) => new Set(order).size === size)).toBe(true);
      for (const set of [orders.slice(0, blocks), orders.slice(blocks)]) {
        expect([...pairs(set).values()]).toEqual(Array((n * (n - 1)) / 2).fill(met));
        const even = [...places(set).values()];
        expect(Math.max(...even) - Math.min(...even)).toBeLessThanOrEqual(1);
      }
      expect(orders.slice(0, blocks)).not.toEqual(orders.slice(blocks));
    }
  },
);

test('where listeners fill sets in every sitting, each sitting is balanced by itself; else over all sittings', () => {
  for (const sitting of served(4, 3, 1, 8, 2)) {
    expect(new Set(pairs(sitting.flat()).values()).size).toBe(1);
  }
  const [first, second] = served(4, 3, 1, 6, 2) as [number[][][], number[][][]];
  expect(new Set(pairs(first.flat()).values()).size).toBeGreaterThan(1);
  expect([...pairs([...first.flat(), ...second.flat()]).values()]).toEqual(Array(6).fill(6));
});

test('which samples meet, in which order and in which sequence is drawn: by seed, and for each listener by address', () => {
  const drawn = (seed: string) => served(6, 3, 1, 10, 1, seed).flat(2).join(' ');
  expect(drawn('one')).toBe(drawn('one'));
  expect(drawn('one')).not.toBe(drawn('two'));
  // Over many seeds the first listener’s first sample is any of them.
  const firsts = counts(Array.from({ length: 600 }, (_, i) => String(served(6, 3, 1, 1, 1, `${i}`).flat(2)[0]?.[0])));
  expect(firsts.size).toBe(6);
  expect(Math.min(...firsts.values())).toBeGreaterThan(60);
  const plan = planOf(10);
  const own = randomnessOf(Buffer.alloc(32, 3), 1);
  const seat = { audience: home, ordinal: 4, sitting: 1 };
  const once = rankingOrder(6, { size: 3, rankings: 1 }, seat, 0, plan, own);
  expect(rankingOrder(6, { size: 3, rankings: 1 }, seat, 0, plan, own)).toEqual(once);
});
