import { itemNames, options, seedOf } from './check';
import { seededRandom } from './seeded-random';
import { shuffled } from './shuffled';
import { williamsRow } from './williams-row';

export interface WilliamsSquareInput {
  items: readonly string[];
  seed?: number | string | undefined;
}

export interface WilliamsSquareResult {
  orders: string[][];
}

/**
 * Orders of hearing in which every item stands in every place and follows every other item equally often.
 *
 * Use it where each listener hears all items one after another and what came just before may colour what comes next;
 * give the orders to listeners in turn, in multiples of their number. Balances the place and the item just before,
 * nothing further back. The seed is no secret: draw an order that must stay blind from a source that is one.
 *
 * @param input.items names, 2 to 1,000, none twice
 * @param input.seed 32 bits or a text, by default 1. It says which item plays which part in the square and in which
 *   sequence the orders come; the same seed gives the same orders. It knows items by their place in `items` only, so
 *   renaming them renames the orders
 * @returns orders: as many as there are items where that is even, twice as many where it is odd (fewer can't balance the
 *   neighbours); each item is in each place once (odd: twice) and just after each other item once (odd: twice)
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent
 *
 * Accuracy: exact; counted in the tests for 2 to 13 items and for some more.
 * Source: Williams (1949), Australian Journal of Scientific Research A 2:149–168 (construction from memory).
 *
 * @example
 * williamsSquare({ items: ['A', 'B', 'C', 'D'] })
 * // { orders: [['C', 'A', 'D', 'B'], ['D', 'C', 'B', 'A'], ['A', 'B', 'C', 'D'], ['B', 'D', 'A', 'C']] }
 */
export function williamsSquare(input: WilliamsSquareInput): WilliamsSquareResult {
  options(input, ['items', 'seed']);
  const items = itemNames(input.items, 'items');
  const random = seededRandom(seedOf(input.seed ?? 1));
  const parts = shuffled(items, random);
  const rows = items.map((_, row) => williamsRow(items.length, row));
  const all = items.length % 2 === 0 ? rows : rows.flatMap((row) => [row, [...row].reverse()]);
  return { orders: shuffled(all, random).map((row) => row.map((part) => parts[part] as string)) };
}
