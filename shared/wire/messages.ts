import { z } from 'zod';
import { formLength, text, typed, version } from './pieces';

/** What sockets carry to phones and desks: envelopes around rendered parts, and nothing beside them. */

export const placeSchema = z.strictObject({
  version,
  /** A part that was rendered from a model which fits `placePart`. */
  html: z.string().max(500_000).meta({ typed: 'form' }),
});

export const actReplySchema = z.union([
  z.strictObject({ ok: z.literal(true), place: placeSchema, apart: z.literal(true).optional() }),
  z.strictObject({
    ok: z.literal(false),
    error: z.strictObject({
      code: text(/^[a-z][a-z-]{1,30}$/),
      message: typed('form', formLength),
      path: typed('form', formLength),
    }),
    place: placeSchema.nullable(),
  }),
]);

/** To the desk: that something changed, by a number that grows. */
export const changedSchema = version;
