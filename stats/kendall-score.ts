/** What Kendall's tau counts over all pairs of entries. */
export interface KendallScore {
  /** Pairs in the same order less pairs in the opposite. */
  score: number;
  /** All pairs. */
  pairs: number;
  /** Sizes of the groups of equal values in either list, only those of 2 and more. */
  firstTies: number[];
  secondTies: number[];
}

const pairsOf = (n: number) => (n * (n - 1)) / 2;
export const tiedPairs = (ties: readonly number[]) => ties.reduce((sum, t) => sum + pairsOf(t), 0);

/**
 * Counts the pairs by sorting, in n·log n steps: after sorting by the first list, and by the second among ties, the pairs
 * in opposite order are the exchanges that sorting by the second list takes (Knight 1966, JASA 61:436–439).
 */
export function kendallScore(first: readonly number[], second: readonly number[]): KendallScore {
  const at = (list: readonly number[], i: number) => list[i] as number;
  const order = first.map((_, i) => i).sort((a, b) => at(first, a) - at(first, b) || at(second, a) - at(second, b));
  const firstTies = runs(order, (a, b) => at(first, a) === at(first, b));
  const bothTies = runs(order, (a, b) => at(first, a) === at(first, b) && at(second, a) === at(second, b));
  const { sorted, exchanges } = mergeSorted(order.map((i) => at(second, i)));
  const secondTies = runs(sorted, (a, b) => a === b);
  const pairs = pairsOf(first.length);
  const untied = pairs - tiedPairs(firstTies) - tiedPairs(secondTies) + tiedPairs(bothTies);
  return { score: untied - 2 * exchanges, pairs, firstTies, secondTies };
}

/** Lengths of the runs of neighbours that are alike, from 2 on. */
function runs(sorted: readonly number[], alike: (a: number, b: number) => boolean): number[] {
  const lengths: number[] = [];
  let length = 1;
  for (let i = 1; i <= sorted.length; i++) {
    if (i < sorted.length && alike(sorted[i - 1] as number, sorted[i] as number)) {
      length++;
      continue;
    }
    if (length > 1) lengths.push(length);
    length = 1;
  }
  return lengths;
}

function mergeSorted(values: readonly number[]): { sorted: number[]; exchanges: number } {
  let from = [...values];
  let to = new Array<number>(values.length).fill(0);
  let exchanges = 0;
  for (let width = 1; width < from.length; width *= 2) {
    for (let start = 0; start < from.length; start += 2 * width) {
      const middle = Math.min(start + width, from.length);
      const end = Math.min(start + 2 * width, from.length);
      let left = start;
      let right = middle;
      for (let k = start; k < end; k++) {
        if (left < middle && (right >= end || (from[left] as number) <= (from[right] as number))) {
          to[k] = from[left++] as number;
        } else {
          to[k] = from[right++] as number;
          exchanges += middle - left;
        }
      }
    }
    [from, to] = [to, from];
  }
  return { sorted: from, exchanges };
}
