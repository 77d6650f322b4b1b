import type { Shelf } from './act-queue';

/** A storage that lives as long as the page, for browsers that forbid the real one. */
export function memoryShelf(): Shelf {
  const entries = new Map<string, string>();
  return {
    get length() {
      return entries.size;
    },
    key: (index) => [...entries.keys()][index] ?? null,
    getItem: (key) => entries.get(key) ?? null,
    setItem: (key, value) => {
      entries.set(key, value);
    },
    removeItem: (key) => {
      entries.delete(key);
    },
  };
}

/** The storage asked for, or one in memory where touching it throws. */
export function usableShelf(open: () => Shelf): Shelf {
  try {
    const shelf = open();
    shelf.getItem('fair-hearing');
    return shelf;
  } catch {
    return memoryShelf();
  }
}
