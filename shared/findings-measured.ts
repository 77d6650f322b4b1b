import { z } from 'zod';
import { estimateSchema } from './findings-estimate';

/** What FINDINGS hold of measured responses beside what was heard, and of maps; explores, and decides nothing. */

const share = z.number().min(0).max(1);

/** How a prototype was heard beside the baseline. */
const heard = z.strictObject({
  audience: z.string(),
  prototype: z.string(),
  /** Null where the method has no scales. */
  scale: z.string().nullable(),
  /**
   * Mean less that of the baseline in points, or share of ticks less its; share that preferred it to the baseline, or put it
   * before; share of trials in which the two were heard as different.
   */
  measure: z.enum(['points', 'ticked', 'preferred', 'before', 'heard']),
  difference: estimateSchema,
});
export type HeardBeside = z.infer<typeof heard>;

const responses = z.strictObject({
  /** What the others are held against. */
  baseline: z.string(),
  /** Third-octave bands that all curves reach over, by their nominal middles in Hz. */
  bands: z.array(z.number()),
  prototypes: z.array(
    z.strictObject({
      prototype: z.string(),
      /** Units with a response, out of those of the plan. */
      units: z.int().min(1),
      of: z.int().min(1),
      /** How far two of these units lie apart at most, in any band, in dB; null for one. */
      unitsApart: z.number().min(0).nullable(),
      /** dB over the mean of the bands from 500 to 2000 Hz; mean over ears, then over units. */
      levels: z.array(z.number()),
      /** Levels less those of the baseline. */
      less: z.array(z.number()),
      /** Where that is a decibel or more: at most two stretches of bands, those that make up most. */
      stretches: z.array(z.strictObject({ from: z.number(), to: z.number(), difference: z.number() })),
    }),
  ),
  heard: z.array(heard),
  /** From five prototypes on, with ratings: the band that goes most with each scale. */
  correlations: z
    .strictObject({
      prototypes: z.int(),
      /** Of a band and a scale, all looked at. */
      pairs: z.int(),
      deals: z.int(),
      exact: z.boolean(),
      found: z.array(
        z.strictObject({
          audience: z.string(),
          scale: z.string(),
          band: z.number(),
          r: z.number().min(-1).max(1),
          p: share,
        }),
      ),
    })
    .optional(),
});

const map = z.strictObject({
  audience: z.string(),
  /** Shares of the variance that the two components have. */
  shares: z.tuple([share, share]),
  /** Each attribute counts alike, whatever the spread of its means. */
  scaled: z.boolean(),
  attributes: z.array(z.strictObject({ scale: z.string(), x: z.number(), y: z.number() })),
  prototypes: z.array(z.strictObject({ prototype: z.string(), x: z.number(), y: z.number() })),
  /** Where liking was asked: its direction for every listener who liked or disliked all prototypes. */
  liking: z
    .strictObject({
      scale: z.string(),
      /** In no order that says who it is. */
      listeners: z.array(z.strictObject({ x: z.number(), y: z.number(), rSquared: share })),
      /** Who likes all alike. */
      alike: z.int().min(0),
      /** How many listeners’ arrows have each prototype above their own mean. */
      above: z.array(z.strictObject({ prototype: z.string(), listeners: z.int().min(0) })),
      meanRSquared: share,
      expected: share,
      p: share,
      exact: z.boolean(),
    })
    .optional(),
});
export type ProfileMap = z.infer<typeof map>;

export const measuredSchema = z.strictObject({
  responses: responses.optional(),
  maps: z.array(map).optional(),
});
export type MeasuredFindings = z.infer<typeof measuredSchema>;
export type MeasuredResponses = z.infer<typeof responses>;
