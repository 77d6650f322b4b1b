import { z } from 'zod';
import { findingsSchema } from './findings';
import { planSchema } from './plan';
import { recordSchema } from './record';

/** The documents that people take away or bring, by name, with the schema that checks them. */
export const formats = { plan: planSchema, record: recordSchema, findings: findingsSchema } as const;
export type FormatName = keyof typeof formats;

/** JSON Schema (draft 2020-12) of a document, as it is published beside an example in `shared/formats/`. */
export const jsonSchemaOf = (name: FormatName): unknown => z.toJSONSchema(formats[name], { io: 'input' });
