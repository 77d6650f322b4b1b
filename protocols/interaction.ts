import { audienceInteraction } from '../stats/audience-interaction';
import { together } from './pooling';
import type { Interaction } from './results';

/** Whoever sits alone speaks for no audience. */
const fewestListeners = 2;

/**
 * Whether audiences answer alike, each listener with one figure: audiences permuted over listeners, all ways counted
 * where they are few enough, else 10,000 drawn with a fixed seed.
 * @param of what the figure is
 * @param rows one row a listener
 * @returns null where fewer than two audiences have at least two listeners; smaller ones are left out
 */
export function interactionOf(
  of: Interaction['of'],
  rows: readonly { listener: string; audience: string; value: number }[],
): Interaction | null {
  const inAudience = (audience: string) => rows.filter((row) => row.audience === audience).length;
  // Where everybody stands once more as all together, that is no audience of its own.
  const compared = rows.filter(({ audience }) => audience !== together && inAudience(audience) >= fewestListeners);
  if (new Set(compared.map(({ audience }) => audience)).size < 2) return null;
  const { statistic, p, permutations } = audienceInteraction({ rows: compared, seed: 1, permutations: 10_000 });
  return { of, statistic, p, permutations };
}
