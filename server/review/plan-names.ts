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

/** Where there is little room: names without the first words that all of them share, as long as something is left of each. */
export function shortNameIn(plan: Plan): (id: string) => string {
  const words = plan.prototypes.map(({ name }) => name.split(' '));
  const [first = []] = words;
  const most = Math.min(...words.map(({ length }) => length)) - 1;
  let shared = 0;
  while (shared < most && words.every((own) => own[shared] === first[shared])) shared++;
  const name = nameIn(plan);
  return (id) => name(id).split(' ').slice(shared).join(' ');
}
