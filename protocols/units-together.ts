import type { UnitAnswer } from './unit-answers';

/** A unit by its places in the plan. */
export type UnitPlace = Pick<UnitAnswer, 'prototype' | 'unit'>;

/**
 * Units of several prototypes that were always heard by the same listeners in the same sittings: of an answer about all of
 * them nobody knows which of them it is about. Only of prototypes with two units or more; each set in the order of the plan.
 */
export function unitsTogether(answers: readonly UnitAnswer[]): UnitPlace[][] {
  const heard = new Map<string, { place: UnitPlace; where: Set<string> }>();
  for (const { prototype, unit, listener, sitting } of answers) {
    const key = `${prototype} ${unit}`;
    const one = heard.get(key) ?? { place: { prototype, unit }, where: new Set() };
    heard.set(key, one);
    one.where.add(`${listener} ${sitting}`);
  }
  const units = [...heard.values()].sort(({ place: a }, { place: b }) => a.prototype - b.prototype || a.unit - b.unit);
  const several = units.filter(
    ({ place }) => units.filter((other) => other.place.prototype === place.prototype).length > 1,
  );
  const sets = new Map<string, UnitPlace[]>();
  for (const { place, where } of several) {
    const key = [...where].sort().join();
    sets.set(key, [...(sets.get(key) ?? []), place]);
  }
  return [...sets.values()].filter((set) => new Set(set.map(({ prototype }) => prototype)).size > 1);
}
