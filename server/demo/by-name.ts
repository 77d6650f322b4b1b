import type { Plan } from '../../shared/plan';

/** A plan as people speak of it: prototypes go by their names, which is all that can be read off a carrier's sheet. */
export function byName(plan: Plan): Plan {
  const nameOf = (id: string) => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? id;
  const { knownDifference, ...controls } = plan.controls;
  return {
    ...plan,
    prototypes: plan.prototypes.map((prototype) => ({ ...prototype, id: prototype.name })),
    controls: {
      ...controls,
      ...(knownDifference && { knownDifference: { ...knownDifference, prototype: nameOf(knownDifference.prototype) } }),
    },
    primary: { ...plan.primary, first: nameOf(plan.primary.first), second: nameOf(plan.primary.second) },
  };
}
