/** Puts together what has the same key, in the order in which keys first come. */
export function groupBy<T, K>(items: readonly T[], keyOf: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) kept(groups, keyOf(item), () => []).push(item);
  return groups;
}

/** What a map has under a key, made first where there is nothing yet. */
export function kept<K, V>(map: Map<K, V>, key: K, fresh: () => V): V {
  const found = map.get(key);
  if (found !== undefined) return found;
  const made = fresh();
  map.set(key, made);
  return made;
}
