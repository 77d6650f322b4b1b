import { adjustP } from '../stats/adjust-p';

/** Corrects a family of p values by Holm. What has none stays without and costs the others nothing. */
export function holm(family: readonly (number | null)[]): (number | null)[] {
  const tested = family.filter((p) => p !== null);
  const adjusted = tested.length === 0 ? [] : adjustP({ p: tested, method: 'holm' }).p;
  let next = 0;
  return family.map((p) => (p === null ? null : (adjusted[next++] as number)));
}
