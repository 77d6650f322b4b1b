import { z } from 'zod';
import { estimateSchema } from './findings-estimate';
import { verdicts } from './verdicts';

/** What FINDINGS say of what time and habit did to the answer that the verdict is about, in one audience. It decides nothing. */

const estimated = estimateSchema.nullable();
const probability = z.number().nullable();

const panelMean = z.strictObject({
  value: z.number(),
  /** Null where nobody's spread was seen. */
  lower: z.number().nullable(),
  upper: z.number().nullable(),
  level: z.number(),
  listeners: z.int(),
});

const told = z.strictObject({
  verdict: z.enum(verdicts),
  preferred: z.string().nullable(),
  p: probability,
  pAdjusted: probability,
});

export const overTimeSchema = z.strictObject({
  audience: z.string(),
  /** What a listener's figure of one sitting is: shares, hits less false alarms, points, or ticks, as between audiences. */
  of: z.enum(['share', 'correct', 'apart', 'points', 'ticked']),
  /** Where it is of neither side, and how far from there the smallest effect worth finding is. */
  neutral: z.number(),
  margin: z.number(),
  sittings: z.array(panelMean.extend({ sitting: z.int() })),
  /** One entry a listener. */
  listeners: z.array(
    z.strictObject({
      listener: z.string(),
      sittings: z.array(
        z.strictObject({
          sitting: z.int(),
          value: z.number(),
          /** How often each sample had been heard by the end of it, on average. */
          heard: z.number(),
          /** The plan counts it for the verdict; left out where it counts all. */
          counts: z.boolean().optional(),
        }),
      ),
      first: z.number().nullable(),
      later: z.number().nullable(),
      /** Per doubling of hearings. */
      slope: z.number().nullable(),
      side: z.enum(['stayed', 'changed', 'none']).nullable(),
    }),
  ),
  /** Of whoever sat twice or more; null where nobody did. */
  again: z
    .strictObject({
      listeners: z.int(),
      first: panelMean,
      later: panelMean,
      change: z.strictObject({ estimate: estimated, p: probability, pAdjusted: probability }),
      /** Per doubling of hearings. */
      slope: z.strictObject({ estimate: estimated, p: probability, pAdjusted: probability, listeners: z.int() }),
      /** How often hearings double from the first planned sitting to the last. */
      doublings: z.number(),
      /** By the slope: `stable` only where it is shown to move by less than the margin over these doublings. */
      word: z.enum(['drifting', 'stable', 'unknown']),
      /** At first contact against after repeats; those who changed by the prototype, or the answer, that they went to. */
      sides: z.strictObject({
        stayed: z.int(),
        changed: z.int(),
        none: z.int(),
        toFirst: z.int(),
        toSecond: z.int(),
      }),
    })
    .nullable(),
  /** With ratings: each prototype on the primary scale; its rows are listeners, their places own sittings. */
  prototypes: z
    .array(
      z.strictObject({
        prototype: z.string(),
        slope: estimated,
        p: probability,
        /** Corrected over prototypes and audiences. */
        pAdjusted: probability,
        listeners: z.int(),
        rows: z.array(z.array(z.number().nullable())),
      }),
    )
    .optional(),
  /** Variance of one listener's answers about the same thing within a day, and what days add; null where that can't be told. */
  dayToDay: z
    .strictObject({
      withinDay: z.number(),
      betweenDays: z.number(),
      share: z.number().nullable(),
      answers: z.int(),
      days: z.int(),
      listeners: z.int(),
    })
    .nullable(),
  /** Where the plan counts some days only. */
  days: z
    .strictObject({
      from: z.int(),
      to: z.int(),
      /** Over listeners, by the mean of their days; null where nobody sat on such a day. */
      counted: panelMean.nullable(),
      others: panelMean.nullable(),
    })
    .optional(),
  /** Sittings on which something is noted: marked at check-in, samples heard elsewhere, by whom they are heard at home. */
  noted: z
    .array(
      z.strictObject({
        what: z.enum(['marked', 'outside-listening', 'at-home']),
        sittings: z.int(),
        of: z.int(),
        listeners: z.int(),
        difference: z.strictObject({ estimate: estimated, listeners: z.int() }),
        with: told,
        without: told,
        same: z.boolean(),
      }),
    )
    .optional(),
  /** In how many sittings a listener said to have heard samples elsewhere; whoever never did is left out. */
  saidElsewhere: z.array(z.strictObject({ listener: z.string(), sittings: z.int(), of: z.int() })).optional(),
  /** Who heard which prototype elsewhere, as it was declared. */
  atHome: z
    .array(
      z.strictObject({ listener: z.string(), prototype: z.string(), times: z.int(), how: z.enum(['open', 'blind']) }),
    )
    .optional(),
});
export type OverTimeFindings = z.infer<typeof overTimeSchema>;
