import type { Plan } from '../../shared/plan';

/** A plan as people speak of it: prototypes go by their names, which is all that can be read off a carrier's sheet. */
export function byName(plan: Plan): Plan {
  const nameOf = (id: string) => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? id;
  return {
    ...plan,
    prototypes: plan.prototypes.map((prototype) => ({ ...prototype, id: prototype.name })),
    primary: { ...plan.primary, first: nameOf(plan.primary.first), second: nameOf(plan.primary.second) },
  };
}
