/**
 * Places for words beside marks, as near to them as they get and so far apart that none covers another.
 * @param within the first and last place; where there is no room for all they stand closer
 */
export function spreadOut<T>(
  items: readonly T[],
  at: (item: T) => number,
  gap: number,
  [least, most]: [number, number],
): (T & { at: number })[] {
  const sorted = items
    .map((item) => ({ ...item, at: Math.min(most, Math.max(least, at(item))) }))
    .sort((a, b) => a.at - b.at);
  const room = Math.min(gap, sorted.length < 2 ? gap : (most - least) / (sorted.length - 1));
  // Upward, then down again from the top: what ran over the end comes back.
  sorted.forEach((one, i) => {
    const below = sorted[i - 1];
    if (below) one.at = Math.max(one.at, below.at + room);
  });
  for (let i = sorted.length - 1; i >= 0; i--) {
    const [one, above] = [sorted[i] as { at: number }, sorted[i + 1]];
    one.at = Math.min(one.at, above ? above.at - room : most);
  }
  return sorted;
}
