/** One listener's Σ place·rank: the least it can be, and how probable each value from there up is. */
interface OneRow {
  least: number;
  shares: Float64Array;
}

const remembered = new Map<number, OneRow>();

/**
 * P(L ≥ l) when each of `listeners` puts the items, without ties, in an order drawn evenly from all: the
 * distribution of one listener, added up listener by listener.
 */
export function pageUpper(l: number, items: number, listeners: number): number {
  const { least, shares: row } = oneRow(items);
  let shares = Float64Array.of(1);
  for (let n = 0; n < listeners; n++) {
    const next = new Float64Array(shares.length + row.length - 1);
    shares.forEach((share, i) => {
      row.forEach((own, j) => {
        next[i + j] = (next[i + j] as number) + share * own;
      });
    });
    shares = next;
  }
  let p = 0;
  // From the far end, so that small shares are not lost beside large ones.
  for (let i = shares.length - 1; i >= l - least * listeners; i--) p += shares[i] as number;
  return Math.min(1, p);
}

/** By filling the places one after another: `ways[taken]` counts the values that a set of ranks already used can have. */
function oneRow(items: number): OneRow {
  const known = remembered.get(items);
  if (known) return known;
  const most = (items * (items + 1) * (2 * items + 1)) / 6;
  const least = (items * (items + 1) * (items + 2)) / 6;
  const ways = Array.from({ length: 2 ** items }, () => new Float64Array(most + 1));
  (ways[0] as Float64Array)[0] = 1;
  let permutations = 1;
  for (let i = 2; i <= items; i++) permutations *= i;
  for (let taken = 0; taken < ways.length; taken++) {
    const place = 1 + ranksIn(taken);
    for (let rank = 1; rank <= items; rank++) {
      const bit = 1 << (rank - 1);
      if (taken & bit) continue;
      const next = ways[taken | bit] as Float64Array;
      const own = ways[taken] as Float64Array;
      for (let value = 0; value + place * rank <= most; value++) {
        next[value + place * rank] = (next[value + place * rank] as number) + (own[value] as number);
      }
    }
  }
  const full = ways[ways.length - 1] as Float64Array;
  const row = { least, shares: full.slice(least).map((count) => count / permutations) };
  remembered.set(items, row);
  return row;
}

function ranksIn(taken: number): number {
  let count = 0;
  for (let rest = taken; rest > 0; rest &= rest - 1) count++;
  return count;
}
