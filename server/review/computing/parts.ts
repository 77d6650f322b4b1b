import { pooledPlan } from '../../../protocols/pooling';
import type { Plan } from '../../../shared/plan';

/** What is being done while a verdict is computed, in this order; an audience by `audience:` and its id. */
export type ComputedPart = 'record' | 'chain' | 'key' | 'answers' | `audience:${string}` | 'beside' | 'decision';

/** Every part of a plan's computing, with its words. */
export const partsOf = (plan: Plan): { part: ComputedPart; words: string }[] => [
  { part: 'record', words: 'Reading the record' },
  { part: 'chain', words: 'Checking that every entry is as it was written' },
  { part: 'key', words: 'Doing the draw again from the published seed' },
  { part: 'answers', words: 'Joining answers with what was heard' },
  ...pooledPlan(plan).audiences.map(({ id, name }) => ({
    part: `audience:${id}` as const,
    words: `Analysing ${name}`,
  })),
  { part: 'beside', words: 'What stands beside the verdicts' },
  { part: 'decision', words: 'What was decided, and by whom' },
];
