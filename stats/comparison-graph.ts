import type { PairCounts } from './comparisons';
import { StatsError } from './errors';

/** Who beat whom at least once, as lists of neighbours. */
function neighbours(pairs: PairCounts, wins: Float64Array, kind: 'beats' | 'loses' | 'either'): number[][] {
  const lists: number[][] = Array.from({ length: pairs.items }, () => []);
  for (let k = 0; k < pairs.low.length; k++) {
    const low = pairs.low[k] as number;
    const high = pairs.high[k] as number;
    const lowWon = (wins[2 * k] as number) > 0;
    const highWon = (wins[2 * k + 1] as number) > 0;
    if (kind === 'beats' ? lowWon : kind === 'loses' ? highWon : lowWon || highWon) lists[low]?.push(high);
    if (kind === 'beats' ? highWon : kind === 'loses' ? lowWon : lowWon || highWon) lists[high]?.push(low);
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

/**
 * Whether finite worths of greatest likelihood exist: from each item a chain of wins leads to each other one (Ford 1957,
 * American Mathematical Monthly 64(8) part 2:28–33).
 */
export function estimable(pairs: PairCounts, wins: Float64Array): boolean {
  return (
    reachable(0, neighbours(pairs, wins, 'beats')).size === pairs.items &&
    reachable(0, neighbours(pairs, wins, 'loses')).size === pairs.items
  );
}

/** Throws `islands` or `separated`, naming the items, where {@link estimable} fails. */
export function requireEstimable(pairs: PairCounts, wins: Float64Array, items: readonly string[]): void {
  if (estimable(pairs, wins)) return;
  const named = (group: Iterable<number>) =>
    [...group]
      .sort((a, b) => a - b)
      .map((i) => items[i])
      .join(', ');
  const islands = groups(items, neighbours(pairs, wins, 'either'));
  if (islands.length > 1) {
    const wrong = 'no chain of comparisons joins all items';
    const allowed = 'comparisons that join the islands';
    throw new StatsError('islands', 'comparisons', wrong, allowed, islands.map(named).join(' | '));
  }
  // The smallest set of items that beats, or is beaten by, no one outside: from there no chain leads on.
  const closed = (kind: 'beats' | 'loses') =>
    items.map((_, i) => reachable(i, neighbours(pairs, wins, kind))).reduce((a, b) => (b.size < a.size ? b : a));
  const losers = closed('beats');
  const winners = closed('loses');
  const top = winners.size <= losers.size;
  const group = top ? winners : losers;
  const verb = `${top ? 'lose' : 'win'}${group.size === 1 ? 's' : ''}`;
  const wrong = `${named(group)} never ${verb} against another item, so no finite worths fit`;
  const allowed = 'wins both ways between any two groups of items, or halfWin: true for a marked estimate';
  throw new StatsError('separated', 'comparisons', wrong, allowed, named(group));
}

function groups(items: readonly string[], lists: readonly number[][]): Set<number>[] {
  const found: Set<number>[] = [];
  items.forEach((_, i) => {
    if (!found.some((group) => group.has(i))) found.push(reachable(i, lists));
  });
  return found;
}
