import type { SittingRow } from '../store/tables';

/**
 * The lowest seat from `wanted` on at which nobody sits and nothing lies: whoever has finished may still have a sample
 * in front of them.
 */
export function freeSeat(sittings: readonly Pick<SittingRow, 'state' | 'seat' | 'holding'>[], wanted = 1): number {
  const taken = new Set(
    sittings.filter(({ state, holding }) => state === 'seated' || holding !== null).map(({ seat }) => seat),
  );
  let place = wanted;
  while (taken.has(place)) place++;
  return place;
}
