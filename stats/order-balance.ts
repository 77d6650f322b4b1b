import { sortedCategories } from './categories';
import { list, nameOf, options } from './check';
import { StatsError } from './errors';

export interface OrderBalanceInput {
  orders: readonly (readonly (string | number)[])[];
}

export interface OrderBalanceResult {
  items: string[];
  positionCounts: number[][];
  carryOverCounts: number[][];
  positionImbalance: number;
  carryOverImbalance: number;
}

/**
 * How evenly orders of hearing spread the items over the places and over what comes just before.
 *
 * Use it to check any set of orders, whole or of incomplete blocks, before or after a study. It counts; whether an
 * imbalance matters is for the analysis to say.
 *
 * @param input.orders one list a listener or sitting, the first heard first; names, or numbers that serve as names (1 and
 *   "1" are the same item). Orders may leave items out, differ in length, and bring an item again
 * @returns items: every name that occurs, sorted as numbers where all are numbers, else as strings: the rows and columns
 *   that follow; positionCounts: items × places of the longest order; carryOverCounts: how often the row is followed at
 *   once by the column within an order; positionImbalance: largest less smallest of all positionCounts;
 *   carryOverImbalance: the same of carryOverCounts off the diagonal, 0 where there is one item only
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data (no order, or an empty one)
 *
 * Accuracy: exact counts.
 * Source: Williams (1949), Australian Journal of Scientific Research A 2:149–168, for what is to be balanced; the two
 * imbalances are ranges (common practice).
 *
 * @example
 * orderBalance({ orders: [['A', 'B', 'C'], ['B', 'C', 'A']] })
 * // { positionCounts: [[1, 0, 1], [1, 1, 0], [0, 1, 1]], carryOverCounts: [[0, 1, 0], [0, 0, 2], [1, 0, 0]], positionImbalance: 1, carryOverImbalance: 2 }
 */
export function orderBalance(input: OrderBalanceInput): OrderBalanceResult {
  options(input, ['orders']);
  const orders = list(input.orders, 'orders', 1, 'orders').map((order, i) =>
    list(order, `orders.${i}`, 1, 'names', 1_000).map((name, j) => String(nameOf(name, `orders.${i}.${j}`))),
  );
  const items = sortedCategories(orders.flat());
  if (items.length > 1_000) {
    throw new StatsError('out-of-range', 'orders', 'hold too many items', 'up to 1000 items', `${items.length} items`);
  }
  const rowOf = new Map(items.map((item, row) => [item, row]));
  const places = Math.max(...orders.map((order) => order.length));
  const positionCounts = zeros(items.length, places);
  const carryOverCounts = zeros(items.length, items.length);
  for (const order of orders) {
    const rows = order.map((name) => rowOf.get(name) as number);
    rows.forEach((row, place) => {
      add(positionCounts, row, place);
      if (place > 0) add(carryOverCounts, rows[place - 1] as number, row);
    });
  }
  const offDiagonal = carryOverCounts.flatMap((row, i) => row.filter((_, j) => j !== i));
  return {
    items,
    positionCounts,
    carryOverCounts,
    positionImbalance: range(positionCounts.flat()),
    carryOverImbalance: range(offDiagonal),
  };
}

const zeros = (rows: number, columns: number) => Array.from({ length: rows }, () => new Array<number>(columns).fill(0));

function add(counts: number[][], row: number, column: number): void {
  const cells = counts[row] as number[];
  cells[column] = (cells[column] as number) + 1;
}

/** Largest less smallest; 0 of nothing. */
function range(counts: readonly number[]): number {
  let [least, most] = [Number.POSITIVE_INFINITY, 0];
  for (const count of counts) {
    least = Math.min(least, count);
    most = Math.max(most, count);
  }
  return Math.max(0, most - least);
}
