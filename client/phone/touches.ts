import type { PhoneTimes } from '../../shared/wire';
import type { Shelf } from './act-queue';

/** When each scale of a trial was first touched. Kept over a reload; only the latest trial has any. */
export interface Touches {
  /** Notes the first touch; later ones change nothing. */
  note(trial: string, scale: string, times: PhoneTimes): void;
  of(trial: string, scale: string): PhoneTimes | null;
  forget(): void;
}

const key = 'fair-hearing.touches';

interface Kept {
  trial: string;
  scales: Record<string, PhoneTimes>;
}

export function createTouches(shelf: Shelf): Touches {
  let kept = read(shelf.getItem(key));
  return {
    note(trial, scale, times) {
      if (kept?.trial !== trial) kept = { trial, scales: {} };
      if (Object.hasOwn(kept.scales, scale)) return;
      kept.scales[scale] = times;
      try {
        shelf.setItem(key, JSON.stringify(kept));
      } catch {
        // A full storage costs the times after a reload, not now.
      }
    },
    of: (trial, scale) =>
      kept?.trial === trial && Object.hasOwn(kept.scales, scale) ? (kept.scales[scale] ?? null) : null,
    forget() {
      kept = null;
      shelf.removeItem(key);
    },
  };
}

function read(text: string | null): Kept | null {
  try {
    const found = JSON.parse(text ?? 'null') as Kept | null;
    const whole =
      typeof found?.trial === 'string' &&
      Object.values(found.scales).every(
        ({ sincePlaying, wall }) =>
          typeof wall === 'number' && (sincePlaying === null || typeof sincePlaying === 'number'),
      );
    return whole ? found : null;
  } catch {
    return null;
  }
}
