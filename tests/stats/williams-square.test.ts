import fc from 'fast-check';
import { expect, test } from 'vitest';
import { williamsSquare } from '../../stats/williams-square';
import { expectRefused } from './support';

const names = (n: number) => Array.from({ length: n }, (_, i) => `item ${i}`);

/** How often each item stands in each place and just before each other one: every count that occurs, by name. */
function occurring(orders: readonly (readonly string[])[], items: readonly string[]) {
  const places = items.flatMap((item) => items.map((_, at) => orders.filter((order) => order[at] === item).length));
  const text = orders.map((order) => `,${order.join(',,')},`).join(';');
  const neighbours = items.flatMap((item) =>
    items.filter((other) => other !== item).map((other) => text.split(`,${item},,${other},`).length - 1),
  );
  return { places: [...new Set(places)], neighbours: [...new Set(neighbours)] };
}

test.each([2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 16, 25, 30])(
  '%d items: every place and every neighbour equally often, in as few orders as can be',
  (n) => {
    const { orders } = williamsSquare({ items: names(n), seed: n });
    expect(orders).toHaveLength(n % 2 === 0 ? n : 2 * n);
    for (const order of orders) expect([...order].sort()).toEqual(names(n).sort());
    const times = orders.length / n;
    expect(occurring(orders, names(n))).toEqual({ places: [times], neighbours: [times] });
  },
);

test('three items can’t be balanced in three orders: all sets of three are tried', () => {
  const all = ['ABC', 'ACB', 'BAC', 'BCA', 'CAB', 'CBA'];
  const evenNeighbours = (orders: string[]) =>
    new Set(orders.flatMap((order) => [order.slice(0, 2), order.slice(1)])).size === 6;
  const sets = all.flatMap((a) => all.flatMap((b) => all.map((c) => [a, b, c])));
  expect(sets.filter(evenNeighbours)).toEqual([]);
});

test('the same seed gives the same orders; renaming renames and changes nothing else', () => {
  fc.assert(
    fc.property(fc.integer({ min: 2, max: 12 }), fc.integer({ min: 0, max: 0xffffffff }), (n, seed) => {
      const { orders } = williamsSquare({ items: names(n), seed });
      expect(williamsSquare({ items: names(n), seed }).orders).toEqual(orders);
      const renamed = williamsSquare({ items: names(n).map((name) => `${name}, renamed`), seed });
      expect(renamed.orders).toEqual(orders.map((order) => order.map((name) => `${name}, renamed`)));
    }),
    { seed: 1, numRuns: 100 },
  );
  expect(williamsSquare({ items: names(5), seed: 'a text' })).toEqual(
    williamsSquare({ items: names(5), seed: 'a text' }),
  );
  expect(williamsSquare({ items: names(5), seed: 1 })).toEqual(williamsSquare({ items: names(5) }));
});

test('over seeds every item is as likely as every other to be heard first in the first order', () => {
  const seeds = 4000;
  const first = new Map<string, number>();
  for (let seed = 0; seed < seeds; seed++) {
    const name = williamsSquare({ items: names(4), seed }).orders[0]?.[0] ?? '';
    first.set(name, (first.get(name) ?? 0) + 1);
  }
  expect(first.size).toBe(4);
  // Four standard deviations of a binomial count at 1/4.
  for (const count of first.values()) expect(Math.abs(count - seeds / 4)).toBeLessThan(4 * Math.sqrt((seeds * 3) / 16));
});

test('says what is wrong', () => {
  expectRefused(() => williamsSquare({ items: ['A'] }), 'not-enough-data', 'items');
  expectRefused(() => williamsSquare({ items: ['A', 'B', 'A'] }), 'inconsistent', 'items.2');
  expectRefused(() => williamsSquare({ items: ['A', ''] }), 'wrong-type', 'items.1');
  expectRefused(() => williamsSquare({ items: ['A', 2] as never }), 'wrong-type', 'items.1');
  expectRefused(() => williamsSquare({ items: 4 as never }), 'wrong-type', 'items');
  expectRefused(() => williamsSquare({ items: names(1001) }), 'out-of-range', 'items');
  expectRefused(() => williamsSquare({ items: names(4), seed: -1 }), 'out-of-range', 'seed');
  expectRefused(() => williamsSquare({ items: names(4), seed: 0.5 }), 'wrong-type', 'seed');
  expectRefused(() => williamsSquare({ item: names(4) } as never), 'unknown-option', 'item');
  expectRefused(() => williamsSquare({} as never), 'missing', 'items');
});
