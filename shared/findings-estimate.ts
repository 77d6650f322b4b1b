import { z } from 'zod';

/** A figure with its interval, as FINDINGS have it. */
export const estimateSchema = z.strictObject({
  name: z.string(),
  value: z.number(),
  lower: z.number(),
  upper: z.number(),
  level: z.number(),
});
