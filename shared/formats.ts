import { z } from 'zod';
import { dryRunSchema } from './dry-run';
import { findingsSchema } from './findings';
import { planSchema } from './plan';
import { recordSchema } from './record';
import { truthSchema } from './truth';

/** The documents that people take away or bring, by name, with the schema that checks them. */
export const formats = {
  plan: planSchema,
  record: recordSchema,
  findings: findingsSchema,
  truth: truthSchema,
  'dry-run': dryRunSchema,
} as const;
export type FormatName = keyof typeof formats;

/** JSON Schema (draft 2020-12) of a document, as it is published beside an example in `shared/formats/`. */
export const jsonSchemaOf = (name: FormatName): unknown => z.toJSONSchema(formats[name], { io: 'input' });
