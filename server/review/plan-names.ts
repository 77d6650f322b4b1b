import type { Plan } from '../../shared/plan';

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
