import { createHash, randomInt, timingSafeEqual } from 'node:crypto';
import type { Store } from '../store/open';
import { anyStaff } from '../store/staff';

export interface FirstCode {
  /** What the terminal shows, `ACDE-FGHJ-KMNP`; null when somebody has an account already. */
  code: string | null;
  matches(typed: string): boolean;
}

// Without letters and digits that are mistaken for one another: 0 O, 1 I L, 2 Z, 5 S, 8 B.
const signs = 'ACDEFGHJKMNPQRTUVWXY34679';

/**
 * The one-time code that shows that whoever makes the first account can read the terminal of this machine. It lives in
 * memory only: each start without an account makes a new one.
 */
export async function createFirstCode(store: Store): Promise<FirstCode> {
  if (await anyStaff(store.db)) return { code: null, matches: () => false };
  const letters = Array.from({ length: 12 }, () => signs[randomInt(signs.length)]).join('');
  const expected = digest(letters);
  return {
    code: letters.replace(/(.{4})(?!$)/g, '$1-'),
    matches: (typed) => timingSafeEqual(digest(typed.replace(/[\s\p{Pd}]/gu, '').toUpperCase()), expected),
  };
}

const digest = (text: string): Buffer => createHash('sha256').update(text).digest();
