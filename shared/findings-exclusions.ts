import { z } from 'zod';
import { resultSchema } from './findings-result';

/** What FINDINGS say of answers that were left out, and what the verdict is without that. */

const leftOut = z.strictObject({
  what: z.enum(['rule', 'trial', 'sitting', 'listener']),
  /** Audience and order of joining; null for a rule, which is about everybody. */
  listener: z.string().nullable(),
  /** Number of the session, and of the trial within it, where it is about one. */
  session: z.int().nullable(),
  trial: z.int().nullable(),
  /** In the words of whoever decided; of a rule its id. */
  reason: z.string(),
  /** Null for a rule of the plan as it was locked; for one that an amendment brought, who amended and when. */
  by: z.string().nullable(),
  at: z.string().nullable(),
  /** By a rule of the plan, by code in the blind review, or with the verdict in sight. */
  decided: z.enum(['rule', 'blind', 'afterwards']),
  /** Answered trials that it covers, in full or in part, and their values (one a scale). */
  trials: z.int(),
  values: z.int(),
});

const otherResult = resultSchema.pick({
  audience: true,
  verdict: true,
  sentence: true,
  estimate: true,
  p: true,
  pAdjusted: true,
  n: true,
});

export const exclusionsSchema = z.strictObject({
  list: z.array(leftOut),
  /** The same analysis with nothing left out; null where nothing was. */
  without: z.array(otherResult).nullable(),
  /** The same with what was decided afterwards left out, too; null where nothing was. */
  afterwards: z.array(otherResult).nullable(),
});
export type ExclusionFindings = z.infer<typeof exclusionsSchema>;
export type OtherResult = z.infer<typeof otherResult>;
