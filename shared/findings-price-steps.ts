import { z } from 'zod';

/** What FINDINGS say of each step from one price class to the next, in one audience. It explores, and decides nothing. */

const estimate = z.strictObject({
  name: z.string(),
  value: z.number(),
  lower: z.number(),
  upper: z.number(),
  level: z.number(),
});

export const priceStepsSchema = z.strictObject({
  audience: z.string(),
  /** Of the gain: share of choices or rankings for the dearer, points or ticks more; `none` where only hearing was asked. */
  measure: z.enum(['share', 'ranked', 'points', 'ticked', 'none']),
  /** Null where the method has no scales. */
  scale: z.string().nullable(),
  /** From the lowest up. */
  classes: z.array(z.strictObject({ rank: z.int(), words: z.string(), prototypes: z.array(z.string()) })),
  steps: z.array(
    z.strictObject({
      from: z.int(),
      to: z.int(),
      pairs: z.array(z.strictObject({ dearer: z.string(), cheaper: z.string() })),
      /** The verdict is about the one pair that it is made of. */
      primary: z.boolean(),
      listeners: z.int().min(0),
      gain: estimate.nullable(),
      p: z.number().nullable(),
      /** By Holm over the steps. */
      pAdjusted: z.number().nullable(),
      /** Whether the two are told apart at all; null where nothing asked tells it. */
      toldApart: z
        .strictObject({
          by: z.enum(['right-answers', 'yes-no', 'identical-pairs']),
          estimate,
          p: z.number().nullable(),
          pAdjusted: z.number().nullable(),
        })
        .nullable(),
    }),
  ),
});
export type PriceStepsFindings = z.infer<typeof priceStepsSchema>;
