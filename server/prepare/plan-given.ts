import { z } from 'zod';
import { type Plan, planSchema } from '../../shared/plan';
import type { StudyRow } from '../store/tables';
import { Refusal } from '../web/refusal';

/**
 * Sound and levels can be prepared while the plan is still a draft, and what a draft comes to is known in the room where
 * it is written. So the plan comes along with the input, and must still be the one of the study when it is used.
 */
export const planGiven = z.strictObject({
  plan: z.custom<Plan>((plan) => planSchema.safeParse(plan).success),
  /** The row that the plan came from. */
  source: z.string(),
});

export function samePlan(study: Pick<StudyRow, 'plan'>, { source }: z.infer<typeof planGiven>): void {
  if (study.plan !== source) {
    throw new Refusal('conflict', 'The plan was changed in another tab meanwhile. Look at this page again.');
  }
}
