import type { SittingStory, StudyStory } from './story';

/**
 * Whether two seats that were taken at the same time were drawn the same unit, so that one had to wait for the other.
 * Only an unsealed study can say.
 */
export function sharedUnits({ sittings, key }: Pick<StudyStory, 'sittings' | 'key'>): boolean {
  const unitsOf = (sitting: SittingStory): Set<string> =>
    new Set(
      key?.key
        .find(
          (one) =>
            one.session === sitting.sessionNumber &&
            one.audience === sitting.audience &&
            one.ordinal === sitting.ordinal,
        )
        ?.trials.flatMap(({ units }) => units) ?? [],
    );
  const apart = (a: SittingStory, b: SittingStory): boolean =>
    a.sessionNumber !== b.sessionNumber || (a.to ?? Infinity) < b.from || (b.to ?? Infinity) < a.from;
  return sittings.some((a, i) =>
    sittings.slice(i + 1).some((b) => !apart(a, b) && [...unitsOf(a)].some((unit) => unitsOf(b).has(unit))),
  );
}
