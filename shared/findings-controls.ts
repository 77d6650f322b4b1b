import { z } from 'zod';
import { estimateSchema } from './findings-estimate';

/**
 * What FINDINGS say of control trials, an entry a kind. They judge the panel and the samples: none of it counts for a
 * verdict, and nobody is left out by it.
 */

const count = z.int().min(0);
const listener = z.string();

/** Answers that were right or not. */
const right = z.strictObject({
  kind: z.enum(['knownDifference', 'units']),
  measure: z.literal('right'),
  trials: count,
  right: count,
  /** Of a right answer by guessing; null where that hangs on how a listener answers. */
  chance: z.number().nullable(),
  /**
   * How likely so many are by guessing, exact and one-sided: by the binomial, or where yes and no are asked against the
   * trials of the same sitting in which the other answer is right. Null without answers.
   */
  p: z.number().nullable(),
  listeners: z.array(z.strictObject({ listener, right: count, trials: count })),
});

const sides = { known: count, other: count, none: count };

/** Choices between the known sample and one that is compared. */
const choice = z.strictObject({
  kind: z.literal('knownDifference'),
  measure: z.literal('choice'),
  trials: count,
  ...sides,
  listeners: z.array(z.strictObject({ listener, ...sides })),
});

/** Choices between two that are one sample, by place. */
const place = z.strictObject({
  kind: z.literal('identicalPairs'),
  measure: z.literal('place'),
  trials: count,
  first: count,
  second: count,
  none: count,
  /** Whether listeners lean to one place: sign flips of each one's lean, two-sided; null without choices. */
  p: z.number().nullable(),
  listeners: z.array(z.strictObject({ listener, first: count, second: count, none: count })),
});

/** Choices between two units of one prototype. */
const units = z.strictObject({
  kind: z.literal('units'),
  measure: z.literal('unit'),
  trials: count,
  none: count,
  pairs: z.array(
    z.strictObject({
      prototype: z.string(),
      first: z.string(),
      second: z.string(),
      forFirst: count,
      forSecond: count,
      none: count,
      /** Sign flips of listeners' leans, two-sided; null without choices. */
      p: z.number().nullable(),
      /** Corrected over the pairs by Holm. */
      pAdjusted: z.number().nullable(),
    }),
  ),
});

/** The same trial once more. */
const again = z.strictObject({
  kind: z.literal('hiddenRepeats'),
  measure: z.literal('again'),
  /** Repeats of which both were answered. */
  trials: count,
  same: count,
  listeners: z.array(z.strictObject({ listener, same: count, trials: count })),
});

/** The same samples put in order once more: Kendall's tau between the two orders, 1 where they are one. */
const order = z.strictObject({
  kind: z.literal('hiddenRepeats'),
  measure: z.literal('order'),
  trials: count,
  tau: z.number().nullable(),
  listeners: z.array(z.strictObject({ listener, tau: z.number(), trials: count })),
});

/** The same samples rated once more: how far apart the two ratings of a sample are on the scale of the verdict. */
const points = z.strictObject({
  kind: z.literal('hiddenRepeats'),
  measure: z.literal('points'),
  trials: count,
  /** Mean of the absolute differences, over samples. */
  apart: z.number().nullable(),
  listeners: z.array(z.strictObject({ listener, apart: z.number(), trials: count })),
});

/** The second of two that are one sample, beside the first: over zero it was graded better. */
const second = z.strictObject({
  kind: z.literal('identicalPairs'),
  measure: z.literal('second'),
  trials: count,
  mean: estimateSchema.nullable(),
  p: z.number().nullable(),
  listeners: z.array(z.strictObject({ listener, mean: z.number(), trials: count })),
});

export const controlFindingsSchema = z.discriminatedUnion('measure', [
  right,
  choice,
  place,
  units,
  again,
  order,
  points,
  second,
]);
export type ControlFindings = z.infer<typeof controlFindingsSchema>;
export type ControlOf<M extends ControlFindings['measure']> = Extract<ControlFindings, { measure: M }>;
