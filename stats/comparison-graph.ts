import type { Arcs } from './negative-cycle';
import type { PairCounts } from './pair-counts';
import { strongComponents } from './strong-components';

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

/** The groups of items between which no comparison was answered. */
export function islandsOf(arcs: Arcs): number[][] {
  const [from, to] = [arcs.from.concat(arcs.to), arcs.to.concat(arcs.from)];
  return grouped(strongComponents(arcs.nodes, from, to));
}

/** The smallest group of items of which none lost, or none won, against the others; null where there is no such group. */
export function smallestClosed(arcs: Arcs): { group: number[]; neverLoses: boolean } | null {
  const component = strongComponents(arcs.nodes, arcs.from, arcs.to);
  const groups = grouped(component);
  if (groups.length === 1) return null;
  const [wins, loses] = [new Set<number>(), new Set<number>()];
  for (let k = 0; k < arcs.from.length; k++) {
    const [winner, loser] = [component[arcs.from[k] as number] as number, component[arcs.to[k] as number] as number];
    if (winner === loser) continue;
    wins.add(winner);
    loses.add(loser);
  }
  const smallest = (not: Set<number>) =>
    groups.filter(([i]) => !not.has(component[i as number] as number)).reduce((a, b) => (b.length < a.length ? b : a));
  const [winners, losers] = [smallest(loses), smallest(wins)];
  return winners.length <= losers.length ? { group: winners, neverLoses: true } : { group: losers, neverLoses: false };
}

/** Items with the same label, in the order in which the labels first occur. */
function grouped(labels: Int32Array): number[][] {
  const groups = new Map<number, number[]>();
  for (let i = 0; i < labels.length; i++) {
    const group = groups.get(labels[i] as number);
    if (group) group.push(i);
    else groups.set(labels[i] as number, [i]);
  }
  return [...groups.values()];
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
