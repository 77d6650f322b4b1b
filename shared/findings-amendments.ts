import { z } from 'zod';

/** How much of the answers and of the key the author of an amendment says to have known. */
export const seenKinds = ['progress', 'answers', 'key'] as const;

/** What was changed in the plan after it was locked, in order. */
export const amendmentsSchema = z.array(
  z.strictObject({
    number: z.int().min(1),
    at: z.string(),
    by: z.string(),
    reason: z.string(),
    seen: z.strictObject({ kind: z.enum(seenKinds), words: z.string() }),
    /** What the ledger had by then: answers, and who had opened a sheet, the data by code, or a single code. */
    facts: z.strictObject({
      answers: z.int().min(0),
      sheets: z.array(z.string()),
      blindReview: z.array(z.string()),
      codes: z.array(z.string()),
      /** Who had looked at how the answers stood; left out where nobody had. */
      looked: z.array(z.string()).optional(),
    }),
    /** Values of the plan before and after, by their path. */
    changes: z.array(z.strictObject({ path: z.string(), from: z.unknown(), to: z.unknown() })),
    planVersion: z.int().min(2),
    planHash: z.string(),
    /** The study had been closed, and went on. */
    reopened: z.boolean(),
  }),
);
export type AmendmentFindings = z.infer<typeof amendmentsSchema>[number];
