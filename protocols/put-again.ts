import type { TrialDesign, TrialPast } from './protocol';

/**
 * A trial that was spoilt by a mix-up and not put again yet, with the ordinal of the one that puts it again; null when
 * there is none. Comes after all planned trials. The first of those that fit, or else the first.
 */
export function putAgain(
  history: readonly TrialPast[],
  fits: (spoilt: TrialDesign) => boolean = () => true,
): { spoilt: TrialDesign; ordinal: number } | null {
  const scored = history.filter((past) => !past.design.practice);
  const waiting = scored.filter(
    (past) => past.state === 'void' && !scored.some((later) => later.design.replaces === past.design.ordinal),
  );
  const spoilt = waiting.find(({ design }) => fits(design)) ?? waiting[0];
  return spoilt ? { spoilt: spoilt.design, ordinal: scored.length + 1 } : null;
}
