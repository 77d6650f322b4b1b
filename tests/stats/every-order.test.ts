import { expect, test } from 'vitest';
import { everyOrder } from '../../stats/every-order';

test.each([
  [1, 1],
  [2, 2],
  [3, 6],
  [5, 120],
  [6, 720],
])('%i things have %i orders, each once', (n, count) => {
  const seen: string[] = [];
  everyOrder(n, (order) => {
    expect([...order].sort()).toEqual(Array.from({ length: n }, (_, i) => i));
    seen.push(order.join());
  });
  expect(seen).toHaveLength(count);
  expect(new Set(seen).size).toBe(count);
});
