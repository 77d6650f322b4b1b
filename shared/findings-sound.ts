import { z } from 'zod';

/** What FINDINGS say of how loud things were and what the listener's page played, from the ledger alone. */

const matched = z.strictObject({
  at: z.string(),
  by: z.enum(['loudness', 'band']),
  /** How often something was matched: the last counts here; with units there may be one for each session. */
  times: z.int().min(1),
  excerpts: z.array(
    z.strictObject({
      excerpt: z.string(),
      name: z.string(),
      rate: z.int(),
      seconds: z.number(),
      files: z.int().min(1),
      /** Loudest less quietest, in dB. */
      before: z.number(),
      after: z.number(),
      /** What the differences after matching are by the table of tolerances. */
      judged: z.enum(['passes', 'warns', 'beyond']),
      /** The largest that a file was lowered by, in dB, never above 0. */
      gain: z.number(),
      /** Highest true peak of a file as it is played, in dBTP. */
      truePeak: z.number(),
      /** Samples by which two files begin apart at most; null where that couldn't be told. */
      lag: z.int().nullable(),
    }),
  ),
  /** With units: the trim of each for each excerpt. */
  units: z.array(
    z.strictObject({ unit: z.string(), serial: z.string(), excerpt: z.string(), level: z.number(), gain: z.number() }),
  ),
  /**
   * Units whose measured level changed, against the mean of all, by more than is let pass between matches that were both
   * played, and by how much at most, in dB: what was heard before may not have been matched.
   */
  moved: z.array(z.strictObject({ serial: z.string(), by: z.number() })),
  warnings: z.array(z.string()),
});

export const soundFindingsSchema = z.strictObject({
  /** The last match; null where the page plays nothing, or nothing was matched. */
  matched: matched.nullable(),
  /** The last measurement of each unit. */
  levels: z.array(
    z.strictObject({
      unit: z.string(),
      serial: z.string(),
      prototype: z.string(),
      /** The day, as it was typed. */
      on: z.string(),
      left: z.number(),
      right: z.number(),
      device: z.string(),
      method: z.string(),
      curve: z.boolean(),
      times: z.int().min(1),
    }),
  ),
  /** What wasn't as it must be, and was signed for. */
  deviations: z.array(
    z.strictObject({
      at: z.string(),
      by: z.string(),
      reason: z.string(),
      of: z.array(z.strictObject({ serial: z.string().nullable(), kind: z.string() })),
    }),
  ),
  /** Sittings by what was listened with. */
  connections: z.record(z.string(), z.int()),
  interruptions: z.strictObject({
    /** Scored trials in which the sound was interrupted at least once, and how often in all. */
    trials: z.int(),
    /** Of those trials: spoilt, and so put again. The answers of the others are marked. */
    void: z.int(),
    times: z.int(),
    by: z.record(z.string(), z.int()),
    rule: z.enum(['mark', 'void']).nullable(),
  }),
  /** Answers by whether the output ran at the rate of the file. */
  rates: z.strictObject({
    same: z.int(),
    other: z.int(),
    unknown: z.int(),
    outputs: z.array(z.strictObject({ file: z.int(), output: z.int(), answers: z.int() })),
  }),
  /** The level at the ear as it was last estimated, and by what; null where it is unknown. */
  level: z
    .strictObject({ laeq: z.number(), uncertainty: z.number(), method: z.enum(['sensitivity', 'coupler']) })
    .nullable(),
  /** Ears that are taken to be sensitive, children’s among them: a week allows 75 dBA for 40 hours, and not 80. */
  sensitive: z.boolean(),
  /**
   * Where the page plays: the longest that anybody heard, by the audio clock, in a sitting and in seven days; and what
   * that is of a day's and a week's allowance at that level, null where the level is unknown.
   */
  heard: z
    .strictObject({
      sittingMinutes: z.number(),
      weekMinutes: z.number(),
      day: z.number().nullable(),
      week: z.number().nullable(),
    })
    .nullable(),
});
export type SoundFindings = z.infer<typeof soundFindingsSchema>;

/** What was answered with each excerpt, in each audience: described, and never tested. */
export const excerptFindingsSchema = z.array(
  z.strictObject({
    excerpt: z.string(),
    audience: z.string(),
    answers: z.int(),
    /** Where one of two was to be told. */
    correct: z.int().nullable(),
    /** Of the primary pair. */
    preferred: z.strictObject({ first: z.int(), second: z.int(), none: z.int() }).nullable(),
    /** On the primary scale, of the primary pair. */
    means: z.array(z.strictObject({ prototype: z.string(), mean: z.number(), ratings: z.int() })).nullable(),
  }),
);
export type ExcerptFindings = z.infer<typeof excerptFindingsSchema>[number];
