import { z } from 'zod';
import { estimateSchema } from './findings-estimate';

/** What FINDINGS say of an order: where each prototype came, and which of them are told apart. */
export const rankingFindingsSchema = z.strictObject({
  test: z.enum(['friedman', 'page', 'durbin']),
  /** χ², or L of Page's test. */
  statistic: z.number().nullable(),
  degreesOfFreedom: z.number().nullable(),
  /** By the published statistic and its usual p; the deciding p is that of the result. */
  approximateP: z.number().nullable(),
  /** What the deciding permutation turned. */
  turned: z.enum(['ranks-of-listeners', 'whole-listeners']),
  exact: z.boolean(),
  rankings: z.int().min(0),
  /** Samples in a ranking. */
  size: z.int().min(2),
  /** Every two prototypes met equally often. */
  balanced: z.boolean(),
  /** In the order that came out, the best first; 1 is the best rank. */
  ranks: z.array(
    z.strictObject({
      prototype: z.string(),
      rankSum: z.number(),
      meanRank: z.number(),
      times: z.int().min(0),
      lower: z.number().nullable(),
      upper: z.number().nullable(),
    }),
  ),
  level: z.number(),
  pairs: z.array(
    z.strictObject({
      first: z.string(),
      second: z.string(),
      primary: z.boolean(),
      /** Mean rank of the first less that of the second: below 0 the first is ahead. */
      difference: z.number(),
      /** Share of rankings that put the first before the second, each listener weighing the same. */
      share: estimateSchema.nullable(),
      p: z.number(),
      pAdjusted: z.number(),
      separated: z.boolean(),
    }),
  ),
  /** Those that can't be told apart, neighbours first; one may be in several. */
  groups: z.array(z.array(z.string())),
  /** Kendall's W; null in incomplete blocks. */
  agreement: z.number().nullable(),
});
export type RankingFindings = z.infer<typeof rankingFindingsSchema>;
