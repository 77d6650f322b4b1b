/** The name that takes the fewest slips of the finger to reach from what was typed. */
export function nearest(typed: string, names: readonly string[]): string | undefined {
  let best: { name: string; slips: number } | undefined;
  for (const name of names) {
    const slips = slipsBetween(typed.toLowerCase(), name);
    if (!best || slips < best.slips) best = { name, slips };
  }
  return best?.name;
}

/** Letters left out, added, mistaken, or two neighbours swapped (optimal string alignment distance). */
function slipsBetween(a: string, b: string): number {
  const rows = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  const at = (i: number, j: number) => rows[i]?.[j] ?? Number.POSITIVE_INFINITY;
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    rows.push(row);
    for (let j = 1; j <= b.length; j++) {
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      row[j] = Math.min(
        at(i - 1, j) + 1,
        at(i, j - 1) + 1,
        at(i - 1, j - 1) + (a[i - 1] === b[j - 1] ? 0 : 1),
        swapped ? at(i - 2, j - 2) + 1 : Number.POSITIVE_INFINITY,
      );
    }
  }
  return at(a.length, b.length);
}
