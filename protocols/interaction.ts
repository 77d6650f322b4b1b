import type { Interaction } from './protocol';

/** Placeholder signature, filled in with the statistic. */
export function interactionOf(
  of: Interaction['of'],
  rows: readonly { listener: string; audience: string; value: number }[],
): Interaction | null {
  void of;
  void rows;
  return null;
}
