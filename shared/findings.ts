import { z } from 'zod';
import { verdicts } from './verdicts';

/** FINDINGS: what the data say, computed from the ledger alone. The same record gives the same bytes. */

const estimate = z.strictObject({
  name: z.string(),
  value: z.number(),
  lower: z.number(),
  upper: z.number(),
  level: z.number(),
});

const pair = z.strictObject({
  first: z.string(),
  second: z.string(),
  primary: z.boolean(),
  share: estimate.nullable(),
  p: z.number().nullable(),
  pAdjusted: z.number().nullable(),
  listeners: z.int(),
  trials: z.int(),
  wins: z.int(),
  losses: z.int(),
  none: z.int(),
  pooled: z.strictObject({ share: z.number().nullable(), p: z.number().nullable(), trialsUsed: z.number() }),
});

const flowCounts = z.strictObject({
  listeners: z.strictObject({
    planned: z.int(),
    joined: z.int(),
    seated: z.int(),
    /** Of those seated, with every planned sitting finished. */
    finished: z.int(),
    analysed: z.int(),
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
  }),
  voidReasons: z.record(z.string(), z.int()),
});
export type FlowCounts = z.infer<typeof flowCounts>;

export const findingsSchema = z.strictObject({
  format: z.literal('fair-hearing/findings'),
  version: z.literal(1),
  study: z.strictObject({ title: z.string(), question: z.string(), method: z.string() }),
  plan: z.strictObject({ hash: z.string(), commitment: z.string() }),
  flow: flowCounts,
  blind: z.strictObject({
    handling: z.string(),
    label: z.string(),
    singleBlind: z.boolean(),
    notes: z.array(z.string()),
  }),
  results: z.array(
    z.strictObject({
      audience: z.string(),
      audienceName: z.string(),
      method: z.string(),
      verdict: z.enum(verdicts),
      sentence: z.string(),
      estimate: estimate.nullable(),
      p: z.number().nullable(),
      pAdjusted: z.number().nullable(),
      decidedBy: z.string(),
      n: z.strictObject({ listeners: z.int(), trials: z.int(), days: z.int(), units: z.int() }),
      power: z.number(),
      alsoPossible: z.strictObject({ lower: z.number(), upper: z.number() }).nullable(),
      wouldSettle: z.strictObject({ listeners: z.int() }).nullable(),
      preferred: z.string().nullable(),
      pairs: z.array(pair),
      scores: z
        .strictObject({
          scores: z.array(
            z.strictObject({
              prototype: z.string(),
              logWorth: z.number(),
              lower: z.number().nullable(),
              upper: z.number().nullable(),
            }),
          ),
          level: z.number(),
          resamples: z.int(),
          separated: z.int(),
          halfWinAdded: z.boolean(),
          reason: z.string().nullable(),
        })
        .nullable(),
      otherRule: z
        .strictObject({ rule: z.enum(['split', 'drop']), share: z.number().nullable(), p: z.number().nullable() })
        .nullable(),
      warnings: z.array(z.string()),
    }),
  ),
  panel: z.array(
    z.strictObject({
      listener: z.string(),
      audience: z.string(),
      repeatedPairs: z.int(),
      repeatedAlike: z.int(),
      circularTriads: z.strictObject({ triads: z.number(), maximum: z.number(), p: z.number() }).nullable(),
    }),
  ),
  habituation: z.null(),
  units: z.array(z.strictObject({ unit: z.string(), prototype: z.string(), serial: z.string(), heard: z.int() })),
  incidents: z.array(
    z.strictObject({ at: z.string(), category: z.string(), text: z.string(), seat: z.int().nullable() }),
  ),
  exploratory: z.strictObject({
    words: z.array(z.strictObject({ prototype: z.string(), audience: z.string(), text: z.string() })),
  }),
  computedFrom: z.string(),
});
export type Findings = z.infer<typeof findingsSchema>;
