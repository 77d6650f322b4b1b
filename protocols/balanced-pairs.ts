import { williamsRow } from '../stats/williams-row';
import { type Randomness, shuffled } from './random';

/** Two positions of a list, the first presented first. */
export type Pair = readonly [number, number];

/** All pairs of n items, lower position first: n(n − 1)/2 of them. */
export function allPairs(n: number): Pair[] {
  const pairs: Pair[] = [];
  for (let a = 0; a < n; a++) for (let b = a + 1; b < n; b++) pairs.push([a, b]);
  return pairs;
}

/**
 * Which item of each pair comes first, so that no item leads more often than the rest: the (near-)regular tournament
 * on a circle. With an odd n every item leads in (n − 1)/2 of its pairs; with an even n the numbers differ by one.
 * `circle` is the order of the items on the circle.
 */
export function orientedPairs(circle: readonly number[]): Map<string, Pair> {
  const n = circle.length;
  const oriented = new Map<string, Pair>();
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const ahead = j - i;
      // On the circle the nearer way round leads; opposite items of an even circle go by their half.
      const leads = 2 * ahead < n || (2 * ahead === n && i % 2 === 0);
      const [a, b] = [circle[i] as number, circle[j] as number];
      oriented.set(pairKey(a, b), leads ? [a, b] : [b, a]);
    }
  }
  return oriented;
}

export const pairKey = (a: number, b: number): string => (a < b ? `${a}|${b}` : `${b}|${a}`);

/**
 * The pairs of one sitting, each `repeats` times, for the listener of that ordinal (from 1).
 *
 * Over listeners in order of joining, and for each repeat: every pair stands in every place equally often to within
 * one; within every pair each item comes first equally often to within one; over repeats a listener hears a pair the
 * one way and then the other. Blocks of listeners share a draw, addressed by the block, so that the balance is over
 * people and each allocation still depends on its own address only. No pair follows itself but where there is only
 * one pair.
 */
export function balancedPairs(items: number, repeats: number, ordinal: number, randomness: Randomness): Pair[] {
  const pairs = allPairs(items);
  const m = pairs.length;
  const listener = ordinal - 1;
  const block = Math.floor(listener / m);
  const orders = orderOfPairs(m, repeats, block, randomness);
  const sequence: Pair[] = [];
  for (let repeat = 0; repeat < repeats; repeat++) {
    const circle = shuffled(
      Array.from({ length: items }, (_, i) => i),
      randomness.at('first', Math.floor(listener / 2), Math.floor(repeat / 2)),
    );
    const oriented = orientedPairs(circle);
    const reverse = (listener + repeat) % 2 === 1;
    const labels = orders[repeat] as number[];
    for (const cell of williamsRow(m, listener % m)) {
      const [a, b] = pairs[labels[cell] as number] as Pair;
      const [first, second] = oriented.get(pairKey(a, b)) as Pair;
      sequence.push(reverse ? [second, first] : [first, second]);
    }
  }
  return sequence;
}

/** A relabelling of the Latin square for each repeat of one block, such that no row ends with what the next begins. */
function orderOfPairs(m: number, repeats: number, block: number, randomness: Randomness): number[][] {
  const orders: number[][] = [];
  for (let repeat = 0; repeat < repeats; repeat++) {
    const random = randomness.at('order', block, repeat);
    const before = orders[repeat - 1];
    for (;;) {
      const labels = shuffled(
        Array.from({ length: m }, (_, i) => i),
        random,
      );
      if (m === 1 || before === undefined || !repeatsAtSeam(m, before, labels)) {
        orders.push(labels);
        break;
      }
    }
  }
  return orders;
}

function repeatsAtSeam(m: number, before: readonly number[], after: readonly number[]): boolean {
  for (let row = 0; row < m; row++) {
    const cells = williamsRow(m, row);
    if (before[cells[m - 1] as number] === after[cells[0] as number]) return true;
  }
  return false;
}
