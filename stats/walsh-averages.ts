/**
 * The Walsh averages of a sample, (xᵢ + xⱼ)/2 for all i ≤ j: their median is the Hodges–Lehmann estimate, their order
 * statistics are the limits of Wilcoxon's interval. There are n(n + 1)/2 of them, so they are never written out: among
 * sorted values those up to a bound are counted in one pass, and the k-th is found by halving.
 */

/** How many there are of n values. */
export const walshCount = (n: number): number => (n * (n + 1)) / 2;

/** The median of all Walsh averages: Hodges & Lehmann (1963), Annals of Mathematical Statistics 34:598–611. */
export function hodgesLehmann(sorted: readonly number[]): number {
  const count = walshCount(sorted.length);
  const low = walshAverage(sorted, Math.ceil(count / 2));
  return count % 2 === 1 ? low : (low + walshAverage(sorted, count / 2 + 1)) / 2;
}

/** The k-th smallest Walsh average, from 1, of values in ascending order. */
export function walshAverage(sorted: readonly number[], k: number): number {
  let low = sorted[0] as number;
  let high = sorted[sorted.length - 1] as number;
  // Both ends are always averages that occur, so that what is left in the end is one to the last digit.
  while (low < high) {
    const half = low + (high - low) / 2;
    const { atMost, below, above } = around(sorted, half < high ? half : low);
    if (atMost >= k) high = below;
    else low = above;
  }
  return low;
}

/** How many averages are ≤ x, the largest of these, and the smallest beyond. */
function around(sorted: readonly number[], x: number): { atMost: number; below: number; above: number } {
  let atMost = 0;
  let below = Number.NEGATIVE_INFINITY;
  let above = Number.POSITIVE_INFINITY;
  let j = sorted.length - 1;
  for (let i = 0; i <= j; i++) {
    const own = sorted[i] as number;
    let average = (own + (sorted[j] as number)) / 2;
    while (average > x) {
      above = Math.min(above, average);
      j--;
      if (j < i) return { atMost, below, above };
      average = (own + (sorted[j] as number)) / 2;
    }
    atMost += j - i + 1;
    below = Math.max(below, average);
  }
  return { atMost, below, above };
}
