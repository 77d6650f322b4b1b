import { list, whole } from './check';

/** Answers in the order in which they came, each 1 (right) or 0 (wrong); there may be none yet. */
export const outcomesOf = (value: unknown): number[] =>
  list(value, 'outcomes', 0, 'outcomes, each 1 or 0').map((one, i) => whole(one, `outcomes.${i}`, { min: 0, max: 1 }));
