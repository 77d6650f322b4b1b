import { describe, expect, test } from 'vitest';
import { impressionOrder } from '../../protocols/impression-order';
import { randomnessOf } from '../../server/blinding/randomness';
import { orderBalance } from '../../stats/order-balance';

const randomness = (seed: number) => randomnessOf(Buffer.alloc(32, seed), 1);
const rowsOf = (n: number) => (n % 2 === 0 ? n : 2 * n);
const order = (n: number, repeats: number, ordinal: number, sitting = 1, seed = 1) =>
  impressionOrder(n, repeats, { ordinal, sitting }, randomness(seed));

describe.each([2, 3, 4, 5, 6, 7, 8])('%d samples', (n) => {
  const sizes = [0, 1, n - 1, n].filter((repeats, i, all) => all.indexOf(repeats) === i);

  test.each([1, 2, 5])(
    'sitting %d: over each block every sample in every place, and after every other, equally often',
    (sitting) => {
      const rows = rowsOf(n);
      for (const block of [0, 1]) {
        const orders = Array.from({ length: rows }, (_, i) => order(n, 0, block * rows + i + 1, sitting));
        const { positionCounts, carryOverCounts } = orderBalance({ orders });
        expect(positionCounts.flat().every((count) => count === rows / n)).toBe(true);
        const after = carryOverCounts.flatMap((row, i) => row.filter((_, j) => j !== i));
        expect(after.every((count) => count === rows / n)).toBe(true);
      }
    },
  );

  test('in every place equally often to within one, whoever has come so far', () => {
    for (const sitting of [1, 2]) {
      const orders: number[][] = [];
      for (let ordinal = 1; ordinal <= 2 * rowsOf(n); ordinal++) {
        orders.push(order(n, 0, ordinal, sitting));
        if (orders.length >= n) expect(orderBalance({ orders }).positionImbalance).toBeLessThanOrEqual(1);
      }
    }
  });

  test('another order in each sitting than in the one before, for everybody', () => {
    for (let ordinal = 1; ordinal <= 12; ordinal++) {
      for (let sitting = 2; sitting <= 8; sitting++) {
        expect(order(n, 0, ordinal, sitting)).not.toEqual(order(n, 0, ordinal, sitting - 1));
      }
    }
  });

  test.each(sizes)('%d hidden repeats: each sample once, then others of them again, none after itself', (repeats) => {
    for (let ordinal = 1; ordinal <= 2 * rowsOf(n); ordinal++) {
      for (const sitting of [1, 3]) {
        const all = order(n, repeats, ordinal, sitting);
        expect(all).toHaveLength(n + repeats);
        expect(new Set(all.slice(0, n)).size).toBe(n);
        expect(new Set(all.slice(n)).size).toBe(repeats);
        expect(all.slice(0, n)).toEqual(order(n, 0, ordinal, sitting));
        expect(all.every((sample, i) => sample !== all[i - 1])).toBe(true);
      }
    }
  });

  test.each(sizes.filter((repeats) => repeats > 0))(
    '%d hidden repeats: each sample in each later place equally often over n listeners',
    (repeats) => {
      for (const from of [0, n, 2 * n]) {
        const later = Array.from({ length: n }, (_, i) => order(n, repeats, from + i + 1).slice(n));
        for (let place = 0; place < repeats; place++) {
          expect(new Set(later.map((own) => own[place])).size).toBe(n);
        }
      }
    },
  );
});

test('two samples and a hidden repeat: A B A or B A B', () => {
  for (let ordinal = 1; ordinal <= 6; ordinal++) {
    const [first, second, again] = order(2, 1, ordinal);
    expect([first, second].toSorted()).toEqual([0, 1]);
    expect(again).toBe(first);
  }
});

test('replicable, and from its own address: the same whoever else was asked about, and in whatever order', () => {
  const alone = order(5, 2, 7, 3);
  for (let ordinal = 10; ordinal >= 1; ordinal--) order(5, 2, ordinal, 2);
  expect(order(5, 2, 7, 3)).toEqual(alone);
  expect(order(5, 2, 7, 3, 2)).not.toEqual(alone);
});

test('nobody can tell in advance what comes first, or what is repeated: over seeds each sample about equally often', () => {
  const seeds = 240;
  const first = [0, 0, 0];
  const again = [0, 0, 0];
  const place = [0, 0];
  for (let seed = 0; seed < seeds; seed++) {
    const own = order(3, 1, 1, 2, seed);
    first[own[0] as number] = (first[own[0] as number] as number) + 1;
    again[own[3] as number] = (again[own[3] as number] as number) + 1;
    const from = own.indexOf(own[3] as number);
    place[from] = (place[from] as number) + 1;
  }
  for (const count of [...first, ...again]) expect(Math.abs(count - 80)).toBeLessThan(4 * Math.sqrt(seeds * (2 / 9)));
  for (const count of place) expect(Math.abs(count - 120)).toBeLessThan(4 * Math.sqrt(seeds / 4));
});

test('one sample can’t be repeated without following itself', () => {
  expect(order(1, 0, 1)).toEqual([0]);
  expect(() => order(1, 1, 1)).toThrow('following itself');
});
