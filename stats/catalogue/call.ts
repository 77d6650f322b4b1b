import type { z } from 'zod';
import { StatsError } from '../errors';

/** The headings of the catalogue. */
export const topics = [
  'differences',
  'sequential',
  'preferences',
  'ratings',
  'consistency',
  'thresholds',
  'designs',
] as const;
export type Topic = (typeof topics)[number];

/** A call by name: what the command line and whoever else takes input from outside uses. */
export interface StatCall {
  name: string;
  /** What it answers, in one line. */
  summary: string;
  schema: z.ZodType;
  /** Checks the input and computes; bad input is thrown as StatsError. */
  run(input: unknown): unknown;
}

/** Ties a name and a schema to the function that computes. */
export function call<Input>(
  name: string,
  summary: string,
  schema: z.ZodType<Input, unknown>,
  compute: (input: Input) => unknown,
): StatCall {
  const run = (input: unknown) => {
    const { success, data, error } = schema.safeParse(input);
    if (success) return compute(data);
    // The function's own words are better than the schema's; the schema answers for what the function lets pass.
    compute(input as Input);
    throw fromIssue(error.issues[0], input);
  };
  return { name, summary, schema, run };
}

function fromIssue(issue: z.core.$ZodIssue | undefined, input: unknown): StatsError {
  const path = (issue?.path ?? []).map(String);
  const got = path.reduce<unknown>((value, key) => (value instanceof Object ? Reflect.get(value, key) : value), input);
  if (got === null) {
    return new StatsError('wrong-type', path.join('.'), 'is null', 'a value, or no such field for its default', got);
  }
  return new StatsError('wrong-type', path.join('.'), issue?.message ?? 'is not as expected', 'see --schema', got);
}
