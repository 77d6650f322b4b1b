import type { Arcs } from './negative-cycle';
import type { PairCounts } from './pair-counts';

/**
 * Who did how well against whom: an arc from one item to another that it beat (`ties` −1), or at least tied with where
 * ties are counted (`ties` +1). `order` is −1 from the first to the second of a comparison and +1 back.
 */
export function outcomeArcs(pairs: PairCounts, counts: Float64Array): Arcs {
  const arcs: Arcs = { nodes: pairs.items, from: [], to: [], ties: [], order: [] };
  const add = (from: number, to: number, wins: number, ties: number, order: number) => {
    if (wins === 0 && ties === 0) return;
    arcs.from.push(from);
    arcs.to.push(to);
    arcs.ties.push(wins > 0 ? -1 : 1);
    arcs.order.push(order);
  };
  for (let k = 0; k < pairs.first.length; k++) {
    const [first, second] = [pairs.first[k] as number, pairs.second[k] as number];
    const ties = counts[3 * k + 2] as number;
    add(first, second, counts[3 * k] as number, ties, -1);
    add(second, first, counts[3 * k + 1] as number, ties, 1);
  }
  return arcs;
}

type Direction = 'along' | 'against' | 'either';

function neighbours({ nodes, from, to }: Arcs, direction: Direction): number[][] {
  const lists: number[][] = Array.from({ length: nodes }, () => []);
  for (let k = 0; k < from.length; k++) {
    if (direction !== 'against') lists[from[k] as number]?.push(to[k] as number);
    if (direction !== 'along') lists[to[k] as number]?.push(from[k] as number);
  }
  return lists;
}

function reachable(from: number, lists: readonly number[][]): Set<number> {
  const seen = new Set([from]);
  const waiting = [from];
  for (let item = waiting.pop(); item !== undefined; item = waiting.pop()) {
    for (const next of lists[item] ?? []) {
      if (seen.has(next)) continue;
      seen.add(next);
      waiting.push(next);
    }
  }
  return seen;
}

/** Whether from each item a chain of arcs leads to each other one. */
export const stronglyJoined = (arcs: Arcs): boolean =>
  (['along', 'against'] as const).every((way) => reachable(0, neighbours(arcs, way)).size === arcs.nodes);

/** The groups of items between which no comparison was answered. */
export function islandsOf(arcs: Arcs): Set<number>[] {
  const lists = neighbours(arcs, 'either');
  const found: Set<number>[] = [];
  for (let i = 0; i < arcs.nodes; i++) if (!found.some((group) => group.has(i))) found.push(reachable(i, lists));
  return found;
}

/** The smallest set of items from which no arc leads on (they never win outside), or into which none leads. */
export function smallestClosed(arcs: Arcs): { group: Set<number>; neverLoses: boolean } {
  const smallest = (direction: Direction) => {
    const lists = neighbours(arcs, direction);
    return lists.map((_, i) => reachable(i, lists)).reduce((a, b) => (b.size < a.size ? b : a));
  };
  const losers = smallest('along');
  const winners = smallest('against');
  const neverLoses = winners.size <= losers.size;
  return { group: neverLoses ? winners : losers, neverLoses };
}

/**
 * Levels of the items such that the first of every answered comparison stands one level above the second; null where there
 * are none. An order effect is then the same as a step of worth from level to level.
 */
export function orderLevels(arcs: Arcs): Int32Array | null {
  const steps: [number, number][][] = Array.from({ length: arcs.nodes }, () => []);
  for (let k = 0; k < arcs.from.length; k++) {
    const [from, to, order] = [arcs.from[k] as number, arcs.to[k] as number, arcs.order[k] as number];
    steps[from]?.push([to, order]);
    steps[to]?.push([from, -order]);
  }
  const levels = new Int32Array(arcs.nodes);
  const seen = new Set<number>();
  for (let start = 0; start < arcs.nodes; start++) {
    if (seen.has(start)) continue;
    seen.add(start);
    const waiting = [start];
    for (let item = waiting.pop(); item !== undefined; item = waiting.pop()) {
      for (const [next, step] of steps[item] ?? []) {
        const level = (levels[item] as number) + step;
        if (seen.has(next)) {
          if (levels[next] !== level) return null;
          continue;
        }
        seen.add(next);
        levels[next] = level;
        waiting.push(next);
      }
    }
  }
  return levels;
}
