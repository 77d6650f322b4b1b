/** Figures hang on a few settings, and a page asks for the same again with every key: so many are kept. */
const most = 500;
const kept = new Map<string, unknown>();

export function remembered<T>(address: readonly unknown[], compute: () => T): T {
  const key = JSON.stringify(address);
  if (kept.has(key)) return kept.get(key) as T;
  if (kept.size >= most) kept.clear();
  const value = compute();
  kept.set(key, value);
  return value;
}
