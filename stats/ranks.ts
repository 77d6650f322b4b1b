/** Ranks, and how often each value occurs. */
export interface Ranked {
  /** The rank of each value, 1 for the lowest; equal values share the mean of their ranks. */
  ranks: number[];
  /** The sizes of the groups of equal values, from the lowest value up; without ties all are 1. */
  tieSizes: number[];
}

/**
 * Mid-ranks. Values that differ by no more than `equal` count as tied: 0 for what people answered, a rounding error for
 * what was computed, since 0.3 − 0.2 and 0.2 − 0.1 are the same difference.
 */
export function midRanks(values: readonly number[], equal = 0): Ranked {
  const order = values.map((_, i) => i).sort((a, b) => (values[a] as number) - (values[b] as number));
  const ranks = new Array<number>(values.length).fill(0);
  const tieSizes: number[] = [];
  for (let start = 0; start < order.length; ) {
    const first = values[order[start] as number] as number;
    let end = start + 1;
    while (end < order.length && (values[order[end] as number] as number) - first <= equal) end++;
    for (let i = start; i < end; i++) ranks[order[i] as number] = (start + 1 + end) / 2;
    tieSizes.push(end - start);
    start = end;
  }
  return { ranks, tieSizes };
}
