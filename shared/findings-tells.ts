import { z } from 'zod';
import { sureness } from './guesses';

/**
 * What FINDINGS say of how blind the study was in the end: what listeners thought they had, and whether anything that was
 * done or answered went with what nobody should have known. All of it describes; none of it changes a verdict.
 */

const count = z.int().min(0);
const share = z.number().min(0).max(1);

const guesses = z.strictObject({
  /** Who finished all their planned sittings, or answered. */
  asked: count,
  /** Of those asked: sent an answer, no idea among them. */
  answered: count,
  noIdea: count,
  /** Of those who named one: named the one it was. */
  right: count,
  /** Labels to choose among. */
  of: z.int().min(2),
  chance: share,
  /** Exact binomial over those who named one, against luck, one-sided; null where nobody did. */
  p: z.number().nullable(),
  /** Share right among those who named one, with its exact interval; null where nobody did. */
  share: z.strictObject({ value: share, lower: share, upper: share, level: share }).nullable(),
  bySure: z.array(z.strictObject({ sure: z.enum(sureness), n: count, right: count })),
});

export const tellTest = {
  of: ['hand-over-time', 'fitting-time', 'seal-retries', 'answers'],
  by: ['prototype', 'position', 'code-number', 'operator', 'hour'],
  /** Why there is nothing to compare, or nothing that would mean anything. */
  none: ['nothing-to-compare', 'codes-stay', 'one-operator', 'one-session', 'same-hours'],
} as const;

const test = z.strictObject({
  of: z.enum(tellTest.of),
  by: z.enum(tellTest.by),
  /** By prototype and by operator: hand-overs, fits or answers. By place, code number and hour: listeners. */
  n: count,
  /**
   * By prototype and by operator the spread of ranks between them; by place and code number in pairs the share for the
   * first, or for the higher code; of ratings, and by hour, the mean slope.
   */
  statistic: z.number().nullable(),
  p: z.number().nullable(),
  /** How many were drawn; null where every one was counted. */
  permutations: count.nullable(),
  /** Whether so few could have shown anything at 0.01. */
  couldFind: z.boolean(),
  /** Null where it was tested. */
  reason: z.enum(tellTest.none).nullable(),
  /** Times by median in milliseconds, retries and answers by mean. */
  detail: z.array(z.strictObject({ group: z.string(), n: count, value: z.number() })),
});

export const tellsSchema = z.strictObject({
  /** Null where the plan didn't ask. */
  guesses: guesses.nullable(),
  tests: z.array(test),
});
export type TellsFindings = z.infer<typeof tellsSchema>;
export type GuessFindings = z.infer<typeof guesses>;
export type TellTest = z.infer<typeof test>;
