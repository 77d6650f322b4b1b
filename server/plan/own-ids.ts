import type { Plan } from '../../shared/plan';
import { newPartId } from '../ids';

/**
 * A plan from elsewhere with ids of our own: its parts are new here, whatever other parts may be called in another study.
 * What it went on from is not here either.
 */
export function withOwnIds(plan: Plan): Plan {
  const ids = new Map<string, string>();
  const own = (id: string): string => {
    const known = ids.get(id) ?? newPartId();
    ids.set(id, known);
    return known;
  };
  const { follows: _follows, quick: _quick, closingQuestion, controls, ...rest } = plan;
  const known = controls.knownDifference;
  return {
    ...rest,
    prototypes: plan.prototypes.map((prototype) => ({
      ...prototype,
      id: own(prototype.id),
      units: prototype.units.map((unit) => ({ ...unit, id: own(unit.id) })),
    })),
    excerpts: plan.excerpts.map((excerpt) => ({ ...excerpt, id: own(excerpt.id) })),
    audiences: plan.audiences.map((audience) => ({ ...audience, id: own(audience.id) })),
    method: { ...plan.method, spec: specWith(plan, own) },
    primary: { ...plan.primary, first: own(plan.primary.first), second: own(plan.primary.second) },
    controls: known ? { ...controls, knownDifference: { ...known, prototype: own(known.prototype) } } : controls,
    ...(closingQuestion && {
      closingQuestion: {
        labels: closingQuestion.labels.map((label) => ({ ...label, prototype: own(label.prototype) })),
      },
    }),
  };
}

/** Some methods name a prototype in their own settings. */
function specWith({ method, prototypes }: Plan, own: (id: string) => string): unknown {
  const spec = method.spec as { reference?: unknown };
  const { reference } = spec;
  const named = prototypes.some(({ id }) => id === reference);
  return named ? { ...spec, reference: own(String(reference)) } : spec;
}
