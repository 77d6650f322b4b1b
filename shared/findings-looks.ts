import { z } from 'zod';

/** What FINDINGS say of a plan that was looked at on the way. */

const states = z.enum(['go-on', 'shown', 'none-shown']);
const estimate = z.strictObject({
  name: z.string(),
  value: z.number(),
  lower: z.number(),
  upper: z.number(),
  level: z.number(),
});

/** How one audience came to its end. */
export const looksDetailSchema = z.strictObject({
  kind: z.enum(['sequential', 'always-valid']),
  bounds: z.enum(['strict', 'wald']).nullable(),
  /** What false alarms can't exceed by these bounds, however often one looks. */
  attainedAlpha: z.number(),
  state: states,
  /** The answer that met the bound, from 1. */
  decidedAt: z.int().nullable(),
  counted: z.int().min(0),
  /** Answers after the decision: kept, marked and not counted. */
  after: z.int().min(0),
  /** Natural logarithm of the ratio, or of the evidence, after each counted answer. */
  path: z.array(z.number()),
  upper: z.number(),
  lower: z.number().nullable(),
  /** Share of counted answers for the effect; its limits hold whenever one stops. */
  share: estimate.nullable(),
  /** The test at the end over all answers, which decides nothing here. */
  fixed: z.strictObject({ p: z.number().nullable(), answers: z.int().min(0) }),
});

/** Who looked on the way; left out where the plan has no looks. */
export const looksTakenSchema = z.strictObject({
  taken: z.array(
    z.strictObject({
      at: z.string(),
      by: z.string(),
      /** The last entry of the ledger that it took in. */
      upTo: z.int().min(1),
      audiences: z.array(
        z.strictObject({
          audience: z.string(),
          state: states,
          counted: z.int().min(0),
          evidence: z.number(),
          upper: z.number(),
          lower: z.number().nullable(),
        }),
      ),
    }),
  ),
  /** Who looked and also ran the desk. */
  alsoAtDesk: z.array(z.string()),
  /** Answers that had come before a look and were voided after it. */
  voidedSince: z.int().min(0),
});
