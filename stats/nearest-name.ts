/**
 * The name that takes the fewest slips of the finger to reach from what was typed: insertions, deletions, substitutions
 * and swaps of neighbours (Damerau 1964, Communications of the ACM 7(3):171–176). Of several equally near the first.
 */
export function nearestOf(typed: string, names: readonly string[]): { name: string; slips: number } | null {
  let best: { name: string; slips: number } | null = null;
  for (const name of names) {
    const slips = slipsBetween(typed.toLowerCase(), name.toLowerCase());
    if (best === null || slips < best.slips) best = { name, slips };
  }
  return best;
}

/** The same, or null when even the nearest takes more slips than a third of the longer name. */
export function nearestName(typed: string, names: readonly string[]): string | null {
  const near = names.filter((name) => {
    const allowed = Math.max(1, Math.floor(Math.max(typed.length, name.length) / 3));
    return slipsBetween(typed.toLowerCase(), name.toLowerCase()) <= allowed;
  });
  return nearestOf(typed, near)?.name ?? null;
}

function slipsBetween(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const substituted = (last[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      let slips = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, substituted);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        slips = Math.min(slips, (beforeLast[j - 2] ?? 0) + 1);
      }
      row.push(slips);
    }
    beforeLast = last;
    last = row;
  }
  return last[b.length] ?? 0;
}
