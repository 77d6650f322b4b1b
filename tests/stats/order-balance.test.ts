import fc from 'fast-check';
import { expect, test } from 'vitest';
import { orderBalance } from '../../stats/order-balance';
import { expectRefused, type ReferenceCase, references } from './support';

interface Counts {
  positionCounts: number[][];
  carryOverCounts: number[][];
  positionImbalance: number;
  carryOverImbalance: number;
}

test.each(references<ReferenceCase<{ orders: string[][] }, Counts>[]>('order-balance'))(
  '$id',
  ({ inputs, expected }) => {
    expect(orderBalance(inputs)).toMatchObject(expected);
    const asNumbers = inputs.orders.map((order) => order.map(Number));
    expect(orderBalance({ orders: asNumbers })).toEqual(orderBalance(inputs));
  },
);

test('orders that leave items out, bring one again and differ in length, by hand', () => {
  expect(orderBalance({ orders: [['B', 'A'], ['B', 'B', 'A', 'B'], ['C']] })).toEqual({
    items: ['A', 'B', 'C'],
    positionCounts: [
      [0, 1, 1, 0],
      [2, 1, 0, 1],
      [1, 0, 0, 0],
    ],
    // A then B once; B then A twice; B after itself once, which the imbalance leaves out; C has no neighbour.
    carryOverCounts: [
      [0, 1, 0],
      [2, 1, 0],
      [0, 0, 0],
    ],
    positionImbalance: 2,
    carryOverImbalance: 2,
  });
});

test('the diagonal is left out of the carry-over imbalance', () => {
  expect(orderBalance({ orders: [['A', 'A', 'A', 'B', 'A']] })).toMatchObject({
    carryOverCounts: [
      [2, 1],
      [1, 0],
    ],
    carryOverImbalance: 0,
  });
});

test('one item has no neighbours to be uneven', () => {
  expect(orderBalance({ orders: [['A']] })).toEqual({
    items: ['A'],
    positionCounts: [[1]],
    carryOverCounts: [[0]],
    positionImbalance: 0,
    carryOverImbalance: 0,
  });
});

test('numbers are sorted as numbers, and anything else as text', () => {
  expect(orderBalance({ orders: [['10', '9', '1']] }).items).toEqual(['1', '9', '10']);
  expect(orderBalance({ orders: [[10, 9, 1]] }).items).toEqual(['1', '9', '10']);
  expect(orderBalance({ orders: [['10', '9', 'b']] }).items).toEqual(['10', '9', 'b']);
  expect(orderBalance({ orders: [['b', 'B', 'a', 'é']] }).items).toEqual(['B', 'a', 'b', 'é']);
  // A name that an object would take for something else.
  expect(orderBalance({ orders: [['__proto__', 'constructor', '__proto__']] }).carryOverCounts).toEqual([
    [0, 1],
    [1, 0],
  ]);
});

const name = fc.constantFrom('A', 'B', 'C', 'D');
const someOrders = fc.array(fc.array(name, { minLength: 1, maxLength: 6 }), { minLength: 1, maxLength: 8 });

test('counts are those of the definition, whatever the orders', () => {
  fc.assert(
    fc.property(someOrders, (orders) => {
      const got = orderBalance({ orders });
      const places = Math.max(...orders.map((order) => order.length));
      got.items.forEach((row, i) => {
        for (let place = 0; place < places; place++) {
          expect(got.positionCounts[i]?.[place]).toBe(orders.filter((order) => order[place] === row).length);
        }
        got.items.forEach((column, j) => {
          const followed = (order: readonly string[]) =>
            order.filter((one, at) => one === row && order[at + 1] === column).length;
          const times = orders.reduce((sum, order) => sum + followed(order), 0);
          expect(got.carryOverCounts[i]?.[j]).toBe(times);
        });
      });
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('the sequence of the orders changes nothing; renaming the items moves rows and columns', () => {
  fc.assert(
    fc.property(someOrders, (orders) => {
      const got = orderBalance({ orders });
      expect(orderBalance({ orders: [...orders].reverse() })).toEqual(got);
      // A to D becomes D to A: rows and columns come the other way round.
      const mirror = (one: string) => String.fromCharCode(133 - one.charCodeAt(0));
      const renamed = orderBalance({ orders: orders.map((order) => order.map(mirror)) });
      expect(renamed).toEqual({
        ...got,
        items: got.items.map(mirror).reverse(),
        positionCounts: [...got.positionCounts].reverse(),
        carryOverCounts: [...got.carryOverCounts].reverse().map((row) => [...row].reverse()),
      });
    }),
    { seed: 2, numRuns: 200 },
  );
});

test('says what is wrong', () => {
  expectRefused(() => orderBalance({ orders: [] }), 'not-enough-data', 'orders');
  expectRefused(() => orderBalance({ orders: [['A'], []] }), 'not-enough-data', 'orders.1');
  expectRefused(() => orderBalance({ orders: [['A', '']] }), 'wrong-type', 'orders.0.1');
  expectRefused(() => orderBalance({ orders: [['A', Number.NaN]] }), 'wrong-type', 'orders.0.1');
  expectRefused(() => orderBalance({ orders: [['A', null]] as never }), 'missing', 'orders.0.1');
  expectRefused(() => orderBalance({ orders: ['AB'] as never }), 'wrong-type', 'orders.0');
  expectRefused(() => orderBalance({ orders: 'AB' as never }), 'wrong-type', 'orders');
  expectRefused(() => orderBalance({ order: [['A']] } as never), 'unknown-option', 'order');
  expectRefused(() => orderBalance({} as never), 'missing', 'orders');
  const many = Array.from({ length: 1001 }, (_, i) => [i]);
  expectRefused(() => orderBalance({ orders: many }), 'out-of-range', 'orders');
});
