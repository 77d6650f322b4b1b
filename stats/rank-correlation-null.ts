/**
 * Exact distributions of the two rank correlations where nothing hangs together: all orders of n entries equally probable,
 * no ties. Both are symmetric, so one tail tells the other.
 */

/** P(at most `most` pairs in opposite order). Sums of shares only, so the smallest tail keeps its digits. */
export function kendallLower(most: number, n: number): number {
  let shares = new Float64Array(most + 1);
  shares[0] = 1;
  // The i-th entry falls behind 0 to i − 1 of those before it, each equally probable.
  for (let i = 2; i <= n; i++) {
    const next = new Float64Array(most + 1);
    for (let behind = 0; behind < i; behind++) {
      for (let k = behind; k <= most; k++) next[k] = (next[k] as number) + (shares[k - behind] as number) / i;
    }
    shares = next;
  }
  return shares.reduce((sum, share) => sum + share, 0);
}

const squaredDistances = new Map<number, Float64Array>();

/** P(sum of the squared differences of ranks is at most `most`), for few entries. */
export function spearmanLower(most: number, n: number): number {
  const orders = squaredDistances.get(n) ?? countSquaredDistances(n);
  squaredDistances.set(n, orders);
  let below = 0;
  let all = 0;
  orders.forEach((count, distance) => {
    all += count;
    if (distance <= most) below += count;
  });
  return below / all;
}

/** How many orders have which sum: the ranks are given out one after another, and only the set of those gone matters. */
function countSquaredDistances(n: number): Float64Array {
  const largest = (n ** 3 - n) / 3;
  let bySet = new Map([[0, new Float64Array(largest + 1).fill(1, 0, 1)]]);
  for (let rank = 0; rank < n; rank++) {
    const next: typeof bySet = new Map();
    for (const [gone, counts] of bySet) {
      for (let other = 0; other < n; other++) {
        if ((gone >> other) & 1) continue;
        const key = gone | (1 << other);
        const sums = next.get(key) ?? new Float64Array(largest + 1);
        next.set(key, sums);
        const step = (rank - other) ** 2;
        for (let k = step; k <= largest; k++) sums[k] = (sums[k] as number) + (counts[k - step] as number);
      }
    }
    bySet = next;
  }
  return bySet.get(2 ** n - 1) ?? new Float64Array(1);
}
