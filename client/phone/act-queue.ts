import type { Act } from '../../shared/wire';

/** What the queue needs of `localStorage`; a test passes a stand-in. */
export type Shelf = Pick<Storage, 'length' | 'key' | 'getItem' | 'setItem' | 'removeItem'>;

/**
 * The acts that the server has not acknowledged yet, oldest first. They lie on the phone's own storage, one entry
 * each, so that a reload loses none and two tabs can't overwrite each other's.
 */
export interface ActQueue {
  add(act: Act): void;
  first(): Act | null;
  size(): number;
  /** Oldest first. */
  all(): Act[];
  /** Takes an act out, once the server has said what became of it. */
  settle(id: string): void;
}

const prefix = 'fair-hearing.act.';

/** @param listener whose acts these are: what another listener has left on this phone waits until they come back to it */
export function createActQueue(shelf: Shelf, listener: string): ActQueue {
  // Where the storage is full or forbidden, an act at least lives as long as the page.
  const unshelved: Act[] = [];

  const keys = (): string[] => {
    const found: string[] = [];
    for (let i = 0; i < shelf.length; i++) {
      const key = shelf.key(i);
      if (key?.startsWith(prefix) && key.split('.')[3] === listener) found.push(key);
    }
    return found.sort();
  };
  const shelved = (): { key: string; act: Act }[] =>
    keys().flatMap((key) => {
      const act = readAct(shelf.getItem(key));
      return act ? [{ key, act }] : [];
    });

  return {
    add(act) {
      const last = keys().at(-1);
      const number = (Number(last?.slice(prefix.length).split('.')[0]) || 0) + 1;
      try {
        shelf.setItem(`${prefix}${String(number).padStart(9, '0')}.${listener}.${act.id}`, JSON.stringify(act));
      } catch {
        unshelved.push(act);
      }
    },
    first: () => shelved()[0]?.act ?? unshelved[0] ?? null,
    all: () => [...shelved().map(({ act }) => act), ...unshelved],
    size: () => shelved().length + unshelved.length,
    settle(id) {
      for (const { key, act } of shelved()) if (act.id === id) shelf.removeItem(key);
      const index = unshelved.findIndex((act) => act.id === id);
      if (index >= 0) unshelved.splice(index, 1);
    },
  };
}

/** An entry that can't be read is left where it lies, for whoever looks into it, and doesn't hold up the others. */
function readAct(text: string | null): Act | null {
  try {
    const read: unknown = JSON.parse(text ?? '');
    const whole =
      typeof read === 'object' &&
      read !== null &&
      ['id', 'kind', 'trial'].every((field) => typeof (read as Record<string, unknown>)[field] === 'string');
    return whole ? (read as Act) : null;
  } catch {
    return null;
  }
}
