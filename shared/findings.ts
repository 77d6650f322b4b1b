import { z } from 'zod';
import { amendmentsSchema } from './findings-amendments';
import { blindSchema } from './findings-blind';
import { controlFindingsSchema } from './findings-controls';
import { heldSchema, plannedDoneSchema } from './findings-done';
import { exclusionsSchema } from './findings-exclusions';
import { audienceFlowSchema } from './findings-flow';
import { importedSchema } from './findings-imported';
import { listenersSchema } from './findings-listeners';
import { looksTakenSchema } from './findings-looks';
import { measuredSchema } from './findings-measured';
import { overTimeSchema } from './findings-over-time';
import { pooledSchema } from './findings-pooled';
import { priceStepsSchema } from './findings-price-steps';
import { habituationSchema, resultSchema } from './findings-result';
import { excerptFindingsSchema, soundFindingsSchema } from './findings-sound';
import { tellsSchema } from './findings-tells';
import { unitEffectsSchema } from './findings-unit-effects';

/** FINDINGS: what the data say, computed from the ledger alone. The same record gives the same bytes. */

const flowCounts = z.strictObject({
  listeners: z.strictObject({
    planned: z.int(),
    joined: z.int(),
    seated: z.int(),
    /** Of those seated, with every planned sitting finished. */
    finished: z.int(),
    analysed: z.int(),
  }),
  sittings: z.strictObject({
    /** With a seat: finished, cut and open together. */
    held: z.int(),
    finished: z.int(),
    cut: z.int(),
    open: z.int(),
    /** How often a listener was put off at check-in by a rule of the plan; some of them sat later. */
    postponed: z.int(),
    /** Of those held: marked at check-in by a rule of the plan. */
    marked: z.int(),
    /** Of those held: with the samples heard elsewhere since the last time, by the listener's word. */
    outside: z.int(),
  }),
  trials: z.strictObject({
    /** Of the sittings that took place: planned scored trials. */
    planned: z.int(),
    answered: z.int(),
    void: z.int(),
    again: z.int(),
    /** Planned or put again, and never answered. */
    lost: z.int(),
    practice: z.int(),
    analysed: z.int(),
    /** Answered and left out as a whole, by rules of the plan or in the blind review. */
    leftOut: z.int(),
    /** Of those analysed: with a scale that a rule of the plan leaves out. */
    partly: z.int(),
    /** Of those analysed: with an answer past the time that the plan allows. */
    late: z.int(),
    /** Of those analysed: controls, which count for no verdict; left out where the plan adds none. */
    controls: z.int().optional(),
    /** Answers that came after their session or study was closed: kept apart, and none of the numbers above. */
    quarantined: z.int(),
  }),
  voidReasons: z.record(z.string(), z.int()),
});
export type FlowCounts = z.infer<typeof flowCounts>;

export const findingsSchema = z.strictObject({
  format: z.literal('fair-hearing/findings'),
  version: z.literal(1),
  study: z.strictObject({ title: z.string(), question: z.string(), method: z.string() }),
  /** The plan as it stood in the end, and the one that was locked, which the commitment binds with the seed. */
  plan: z.strictObject({ hash: z.string(), lockedHash: z.string(), commitment: z.string() }),
  amendments: amendmentsSchema,
  flow: flowCounts,
  /** From the second revision of findings on, as are all that may be left out below it. */
  flowByAudience: z.array(audienceFlowSchema).optional(),
  /** Planned against done, item by item. */
  plannedDone: z.array(plannedDoneSchema).optional(),
  /** When it was held. */
  held: heldSchema.optional(),
  /** Answers that were gathered elsewhere; left out where they were given here. */
  imported: importedSchema.optional(),
  blind: blindSchema,
  results: z.array(resultSchema),
  /** All audiences together; left out where the plan doesn't ask for it. */
  pooled: pooledSchema.optional(),
  overTime: z.array(overTimeSchema).optional(),
  listeners: z.array(listenersSchema).optional(),
  unitEffects: z.array(unitEffectsSchema).optional(),
  priceSteps: z.array(priceStepsSchema).optional(),
  exclusions: exclusionsSchema,
  /** Whether audiences answer alike, by relabelling listeners; null with one audience, or too few to compare. */
  interaction: z
    .strictObject({
      statistic: z.number(),
      p: z.number(),
      permutations: z.int(),
      of: z.enum(['share', 'correct', 'apart', 'points', 'ticked']),
    })
    .nullable(),
  panel: z.array(
    z.strictObject({
      listener: z.string(),
      audience: z.string(),
      repeatedPairs: z.int(),
      repeatedAlike: z.int(),
      circularTriads: z.strictObject({ triads: z.number(), maximum: z.number(), p: z.number() }).nullable(),
    }),
  ),
  /** Trials that judge the panel or the samples, and count for no verdict; left out where the plan adds none. */
  controls: z.array(controlFindingsSchema).optional(),
  /** Who looked on the way; left out where the plan has no looks. */
  looks: looksTakenSchema.optional(),
  /** Null where the method has no ratings. */
  habituation: z.array(habituationSchema).nullable(),
  /** How often everybody who had a seat heard each prototype: in the test, and outside as declared. */
  exposures: z.array(
    z.strictObject({
      listener: z.string(),
      audience: z.string(),
      prototype: z.string(),
      heard: z.int().min(0),
      declared: z.int().min(0),
    }),
  ),
  units: z.array(z.strictObject({ unit: z.string(), prototype: z.string(), serial: z.string(), heard: z.int() })),
  incidents: z.array(
    z.strictObject({ at: z.string(), category: z.string(), text: z.string(), seat: z.int().nullable() }),
  ),
  /** Levels, matching and what was played; left out where a study has nothing of it. */
  sound: soundFindingsSchema.optional(),
  /** Signs that the study was less blind than meant. They change no verdict. */
  tells: tellsSchema,
  exploratory: z.strictObject({
    words: z.array(z.strictObject({ prototype: z.string(), audience: z.string(), text: z.string() })),
    /** With two excerpts or more. */
    excerpts: excerptFindingsSchema.optional(),
    measured: measuredSchema.optional(),
  }),
  computedFrom: z.string(),
});
export type Findings = z.infer<typeof findingsSchema>;
/** What the findings say of one audience. */
export type Result = Findings['results'][number];
export type Difference = NonNullable<Result['difference']>;
export type YesNo = NonNullable<Result['yesNo']>;
export type Ratings = NonNullable<Result['ratings']>;
export type ScaleFindings = Ratings['scales'][number];
export type HabituationFindings = NonNullable<Findings['habituation']>[number];
