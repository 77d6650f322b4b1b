import { z } from 'zod';

/** What FINDINGS say of a study as it was planned against how it was done, item by item. */
export const plannedDoneSchema = z.strictObject({
  item: z.string(),
  outcome: z.enum(['kept', 'changed', 'not-recorded']),
});
export type PlannedDone = z.infer<typeof plannedDoneSchema>;
