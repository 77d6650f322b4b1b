import type { Shelf } from './act-queue';

/**
 * What was chosen or typed at a place and not sent yet. A pause, a reload or a new version of the same place brings
 * it back. Only the latest place has one.
 */
export interface Drafts {
  keep(place: string, fields: ReadonlyArray<readonly [string, string]>): void;
  of(place: string): [string, string][];
  forget(): void;
}

const key = 'fair-hearing.draft';

export function createDrafts(shelf: Shelf): Drafts {
  return {
    keep(place, fields) {
      try {
        shelf.setItem(key, JSON.stringify({ place, fields }));
      } catch {
        // A full storage costs the draft, not the answer.
      }
    },
    of(place) {
      try {
        const read = JSON.parse(shelf.getItem(key) ?? 'null') as { place: string; fields: [string, string][] } | null;
        return read?.place === place ? read.fields : [];
      } catch {
        return [];
      }
    },
    forget() {
      shelf.removeItem(key);
    },
  };
}
