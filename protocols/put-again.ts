import type { TrialDesign, TrialPast } from './protocol';

/**
 * The first trial that was spoilt by a mix-up and not put again yet, with the ordinal of the one that puts it again;
 * null when there is none. Comes after all planned trials.
 */
export function putAgain(history: readonly TrialPast[]): { spoilt: TrialDesign; ordinal: number } | null {
  const scored = history.filter((past) => !past.design.practice);
  const spoilt = scored.find(
    (past) => past.state === 'void' && !scored.some((later) => later.design.replaces === past.design.ordinal),
  );
  return spoilt ? { spoilt: spoilt.design, ordinal: scored.length + 1 } : null;
}
