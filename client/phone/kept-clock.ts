import type { Shelf } from './act-queue';

/**
 * Time since a tap, for what the page shows: it goes on over a reload, by the wall clock, which is kept. While the page
 * lives the monotonic clock is asked too. It stands still while a phone sleeps, and the other one can be set back: the
 * longer time holds.
 */
export interface KeptClock {
  start(name: string): void;
  /** Milliseconds since that start; null when this phone knows of none. */
  passed(name: string): number | null;
  forget(): void;
}

export interface Clocks {
  monotonic(): number;
  wall(): number;
}

export function createKeptClock(shelf: Shelf, key: string, clocks: Clocks): KeptClock {
  let here: { name: string; at: number; wall: number } | null = null;

  const kept = (): { name: string; wall: number } | null => {
    try {
      const read = JSON.parse(shelf.getItem(key) ?? 'null') as { name?: unknown; wall?: unknown } | null;
      return typeof read?.name === 'string' && typeof read.wall === 'number'
        ? { name: read.name, wall: read.wall }
        : null;
    } catch {
      return null;
    }
  };

  return {
    start(name) {
      here = { name, at: clocks.monotonic(), wall: clocks.wall() };
      try {
        shelf.setItem(key, JSON.stringify({ name, wall: here.wall }));
      } catch {
        // A full storage costs the clock after a reload, not now.
      }
    },
    passed(name) {
      const own = here?.name === name ? here : null;
      const wall = own?.wall ?? (kept()?.name === name ? kept()?.wall : undefined);
      if (wall === undefined) return null;
      return Math.max(0, clocks.wall() - wall, own ? clocks.monotonic() - own.at : 0);
    },
    forget() {
      here = null;
      shelf.removeItem(key);
    },
  };
}
