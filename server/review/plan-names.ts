import { methodOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';
import type { Scale } from '../../shared/scales';

/** Names of the plan in place of its ids. */
export const nameIn =
  (plan: Plan) =>
  (id: string): string =>
    plan.prototypes.find((prototype) => prototype.id === id)?.name ?? id;

/** Place of a prototype in the plan: its hue and its symbol go by it. */
export const placeIn =
  (plan: Plan) =>
  (id: string): number =>
    plan.prototypes.findIndex((prototype) => prototype.id === id);

/** The scales of a plan, none where its method has none. */
export function scalesOf(plan: Plan): readonly Scale[] {
  const { form } = methodOf(plan);
  return form.kind === 'scales' ? form.scales : [];
}

export function scaleIn(plan: Plan, id: string): Scale {
  const found = scalesOf(plan).find((scale) => scale.id === id);
  if (!found) throw new Error(`The plan has no scale ${id}.`);
  return found;
}
