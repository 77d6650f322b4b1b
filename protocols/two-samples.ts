import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';

/** The two that a plan compares: first the one that its primary comparison names first. */
export function twoOf({ prototypes, primary }: Pick<Plan, 'prototypes' | 'primary'>): [PrototypeId, PrototypeId] {
  const ids = prototypes.map(({ id }) => id as PrototypeId);
  const first = ids.find((id) => id === primary.first);
  const second = ids.find((id) => id !== primary.first);
  if (ids.length !== 2 || !first || !second) throw new Error('This method takes a plan that compares two prototypes.');
  return [first, second];
}

/** A plan that compares more or fewer than two is refused by field. */
export function notTwo(method: string, { prototypes }: Pick<Plan, 'prototypes'>): Problem[] {
  if (prototypes.length === 2) return [];
  return [
    {
      code: 'not-two',
      path: 'prototypes',
      message: `${method} compares two prototypes, and this plan has ${prototypes.length}. Keep two of them, or plan a study for each pair.`,
      allowed: 'two prototypes',
      got: String(prototypes.length),
    },
  ];
}
