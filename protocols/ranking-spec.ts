import { z } from 'zod';
import type { Plan } from '../shared/plan';

export const rankingSpec = z.strictObject({
  /** Samples in one ranking: all prototypes, or fewer, in balanced incomplete blocks. */
  size: z.int().min(3).max(8).default(3),
  /** Rankings of each listener in one sitting. */
  rankings: z.int().min(1).max(20).default(1),
  /** The plan's prototypes stand in the order that is expected, the best first. */
  predicted: z.boolean().default(false),
});
export type RankingSpec = z.infer<typeof rankingSpec>;

/** The settings of a plan for a ranking that was checked. */
export const rankingOf = (plan: Pick<Plan, 'method'>): RankingSpec => rankingSpec.parse(plan.method.spec);
