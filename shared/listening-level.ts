import { z } from 'zod';

/**
 * What is known of how loud it is at the ear, as the ledger has it: what was given, what it comes to, and what the plan
 * makes of it in a week and in a day. Estimates all of them; null is unknown, and never 0.
 */

const db = z.number().min(-200).max(200);

export const listeningGivenSchema = z.discriminatedUnion('method', [
  z.strictObject({
    method: z.literal('sensitivity'),
    /** As the maker states it: dB SPL at 1 V rms, or at 1 mW. */
    sensitivity: db.nullable(),
    per: z.enum(['volt', 'milliwatt']),
    /** Ohms; only where it is stated at 1 mW. */
    impedance: z.number().min(0.5).max(10_000).nullable(),
    /** Rms volts of a sine at full scale and full volume. */
    volts: z.number().min(0.001).max(50).nullable(),
    /** What the volume control takes off, 0 or less. */
    volume: z.number().min(-120).max(0).nullable(),
  }),
  z.strictObject({
    method: z.literal('coupler'),
    /** dBA. */
    reading: z.number().min(20).max(150).nullable(),
    /** A-weighted level of what was read, in dB below a square wave at full scale; null: the programme itself. */
    signal: db.nullable(),
  }),
]);
export type ListeningGiven = z.infer<typeof listeningGivenSchema>;

const part = z.strictObject({
  what: z.string(),
  db: z.number(),
  halfWidthDb: z.number(),
  halfWidthBasis: z.enum(['given', 'from-memory']),
});

export const listeningLevelSchema = z.strictObject({
  given: listeningGivenSchema,
  /** A-weighted level of the loudest that is played; null where nothing says. */
  programme: db.nullable(),
  /** What takes a coupler's level to the diffuse field, and where that is from. */
  diffuseField: z.strictObject({ db: z.number().min(-20).max(20), source: z.string() }).nullable(),
  /** Sensitive ears, children's among them: 75 dBA for 40 hours a week, and not 80. */
  sensitive: z.boolean(),
  estimate: z
    .strictObject({
      laeq: z.number(),
      uncertaintyDb: z.number(),
      method: z.enum(['sensitivity', 'coupler']),
      parts: z.array(part),
      diffuseFieldSource: z.string().nullable(),
    })
    .nullable(),
  planned: z.strictObject({
    /** Of a sitting, counted as if all of it were sound. */
    minutes: z.number(),
    sittingsPerWeek: z.int(),
    sittingsPerDay: z.int(),
    /** Share of what a week allows (WHO and ITU-T H.870), and of what a day does (NIOSH). */
    week: z.number().nullable(),
    day: z.number().nullable(),
    judged: z.enum(['fine', 'warn', 'hold', 'unknown']),
  }),
});
export type ListeningLevel = z.infer<typeof listeningLevelSchema>;
