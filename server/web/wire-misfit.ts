import type { z } from 'zod';
import { actReplySchema, changedSchema, placeSchema } from '../../shared/wire/messages';
import { isBareSound, manifestSchema } from '../../shared/wire/sound';
import { wireViews } from '../../shared/wire/views';

/**
 * Something that was about to go to a phone or the desk isn't what may go there. It doesn't leave: whoever asked gets
 * one safe sentence, and the log where it was and in which fields, never what stood in them.
 */
export class WireMisfit extends Error {
  override readonly name = 'WireMisfit';
  /** Dotted names of fields. A field that the schema doesn't know may itself be a name, so it is only counted. */
  readonly fields: readonly string[];

  constructor(
    readonly what: string,
    issues: readonly z.core.$ZodIssue[],
  ) {
    const fields = issues.slice(0, 10).map((issue) => {
      const path = issue.path.map((step) => (typeof step === 'symbol' ? '?' : step)).join('.');
      return issue.code === 'unrecognized_keys' ? `${path} (${issue.keys.length} unknown)` : path;
    });
    super(`${what} doesn’t fit its schema in shared/wire, at: ${fields.join(', ')}.`);
    this.fields = fields;
  }
}

const rooms = /^(?:listen|run)\//;
const schemas: Readonly<Record<string, z.ZodType>> = wireViews;

/** @throws WireMisfit unless the model of a view of listen or run fits; views of other rooms pass */
export function checkWire(view: string, model: unknown): void {
  const schema = Object.hasOwn(schemas, view) ? schemas[view] : undefined;
  if (schema) check(view, schema, model);
  else if (rooms.test(view)) {
    throw new Error(`The view ${view} has no schema in shared/wire/views.ts, so nothing can be rendered into it.`);
  }
}

function check(what: string, schema: z.ZodType, value: unknown): void {
  const read = schema.safeParse(value);
  if (!read.success) throw new WireMisfit(what, read.error.issues);
}

const sent =
  <Schema extends z.ZodType>(what: string, schema: Schema) =>
  <Value extends z.input<Schema>>(value: Value): Value => {
    check(what, schema, value);
    return value;
  };

/** What sockets send, each in the shape that it may have and no other. @throws WireMisfit */
export const sentPlace = sent('place', placeSchema);
export const sentReply = sent('act reply', actReplySchema);
export const sentChange = sent('changed', changedSchema);

/** What a page fetches to play. @throws WireMisfit */
export const sentManifest = sent('manifest', manifestSchema);

/** @throws WireMisfit for a file with anything in it but samples */
export function sentSound(file: Buffer): Buffer {
  if (!isBareSound(file)) throw new WireMisfit('sound', []);
  return file;
}
