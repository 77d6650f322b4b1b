import { z } from 'zod';

/**
 * What was matched, as the ledger has it: for each excerpt its files with level and peak before and after. Decibels;
 * loudness in LUFS, peaks in dBTP; a band's level in dBFS.
 */
const figures = z.strictObject({ level: z.number(), truePeak: z.number() });
export type MatchFigures = z.infer<typeof figures>;

const file = z.strictObject({
  /** Empty for the programme that units play. */
  prototype: z.string(),
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  /** As it was called where it came from. */
  name: z.string(),
  /** Of an anchor: it is made here of that file, of what lies below that frequency. Left out for what is played as it is. */
  lowPassHz: z.int().min(1).optional(),
  channels: z.int(),
  before: figures,
  /** Decibels, never above 0: what the samples are multiplied by when they are rendered. */
  gain: z.number().max(0),
  after: figures,
  /** Samples by which it begins later than the first file of the excerpt; null where that couldn't be told. */
  lag: z.int().nullable(),
});
export type MatchedFile = z.infer<typeof file>;

const excerpt = z.strictObject({
  id: z.string(),
  rate: z.int(),
  /** In and out point in samples. */
  from: z.int().min(0),
  to: z.int(),
  files: z.array(file).min(1),
});
export type MatchedExcerpt = z.infer<typeof excerpt>;

const unit = z.strictObject({
  unit: z.string(),
  excerpt: z.string(),
  /** Level of the programme as this unit plays it, in decibels under the conditions of its measurement. */
  level: z.number(),
  /** Decibels, never above 0, that its files are rendered with, the excerpt's own gain included. */
  gain: z.number().max(0),
});
export type MatchedUnit = z.infer<typeof unit>;

export const soundMatchSchema = z.strictObject({
  /** What levels were matched by. */
  by: z.enum(['loudness', 'band']),
  excerpts: z.array(excerpt).min(1),
  /** With units: the trim of each for each excerpt. */
  units: z.array(unit),
  /** What was matched with a warning, in words. */
  warnings: z.array(z.string()),
});
export type SoundMatch = z.infer<typeof soundMatchSchema>;
