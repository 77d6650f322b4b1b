import { z } from 'zod';
import { resultSchema } from './findings-result';

/** What FINDINGS say of all audiences together, where the plan asks for it. */
export const pooledSchema = z.strictObject({
  allowed: z.boolean(),
  /** Why there is a verdict for all, or none: audiences aren't shown to differ, they do, or too few answered to tell. */
  reason: z.enum(['not-shown-to-differ', 'differ', 'too-few']),
  /** Of the interaction, and the level that it was held against. */
  p: z.number().nullable(),
  level: z.number(),
  result: resultSchema.nullable(),
});
export type PooledFindings = z.infer<typeof pooledSchema>;
