import { methodOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';

/** A plan as people speak of it: prototypes go by their names, which is all that can be read off a carrier's sheet. */
export function byName(plan: Plan): Plan {
  const nameOf = (id: string) => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? id;
  const { knownDifference, ...controls } = plan.controls;
  const { reference } = plan.method.spec as { reference?: unknown };
  // Other methods name by that word which of two orders they take.
  const named = methodOf(plan).form.kind === 'grades' && typeof reference === 'string';
  return {
    ...plan,
    ...(named
      ? { method: { ...plan.method, spec: { ...(plan.method.spec as object), reference: nameOf(reference) } } }
      : {}),
    prototypes: plan.prototypes.map((prototype) => ({ ...prototype, id: prototype.name })),
    controls: {
      ...controls,
      ...(knownDifference && { knownDifference: { ...knownDifference, prototype: nameOf(knownDifference.prototype) } }),
    },
    primary: { ...plan.primary, first: nameOf(plan.primary.first), second: nameOf(plan.primary.second) },
  };
}
