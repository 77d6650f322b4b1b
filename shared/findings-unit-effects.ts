import { z } from 'zod';
import { modelWords } from './findings-result';

/** What FINDINGS say of the units of prototypes, in one audience: each unit's figures, and units' share of the variance. */

/** A figure over listeners; without an interval where their spread wasn't seen. */
const figure = {
  value: z.number(),
  lower: z.number().nullable(),
  upper: z.number().nullable(),
  listeners: z.int().min(1),
  answers: z.int().min(1),
};

export const unitMeasures = ['right', 'preferred', 'rank', 'points', 'ticked'] as const;
export type UnitMeasure = (typeof unitMeasures)[number];

export const unitEffectsSchema = z.strictObject({
  audience: z.string(),
  /** Share of right answers, of choices, of ticks; mean rank, or mean on the scale of the verdict. */
  measure: z.enum(unitMeasures),
  /** Null where the method has no scales. */
  scale: z.string().nullable(),
  level: z.number(),
  prototypes: z.array(
    z.strictObject({
      prototype: z.string(),
      ...figure,
      units: z.array(z.strictObject({ unit: z.string(), serial: z.string(), ...figure })),
      /** That its units are alike, by dealing them out again; null for one unit, or where no deal would be another. */
      p: z.number().nullable(),
      /** By Holm over all prototypes and audiences. */
      pAdjusted: z.number().nullable(),
    }),
  ),
  /** How often units were dealt out again. */
  permutations: z.int(),
  /** Units that were always heard by the same listeners on the same days. */
  together: z.array(z.array(z.string())),
  /** Null where no prototype has two units that were heard. */
  spread: z
    .strictObject({
      /** The mixed model of the verdict has units as a random term; or by moments, in the measure. */
      by: z.enum(['model', 'moments']),
      /** Standard deviation of units within a prototype; null where it can't be told. */
      units: z.number().min(0).nullable(),
      /** All that varies in the model, as standard deviation and share of the variance; empty by moments. */
      terms: z.array(
        z.strictObject({
          term: z.enum([...modelWords.varying, 'rest']),
          standardDeviation: z.number().min(0),
          share: z.number().min(0).max(1),
        }),
      ),
    })
    .nullable(),
});
export type UnitEffectsFindings = z.infer<typeof unitEffectsSchema>;
