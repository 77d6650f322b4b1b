import { z } from 'zod';
import { type StatCall, type Topic, topics } from './catalogue/call';
import { consistency } from './catalogue/consistency';
import { designs } from './catalogue/designs';
import { differences } from './catalogue/differences';
import { preferences } from './catalogue/preferences';
import { ratings } from './catalogue/ratings';
import { sequential } from './catalogue/sequential';
import { thresholds } from './catalogue/thresholds';
import { StatsError, statsErrorCodes } from './errors';

export type { StatCall, Topic };
export { StatsError, statsErrorCodes, topics };

/** Every call there is, under its heading, in the order of the catalogue. */
export const catalogue: Readonly<Record<Topic, readonly StatCall[]>> = {
  differences,
  sequential,
  preferences,
  ratings,
  consistency,
  thresholds,
  designs,
};

export const statCalls: readonly StatCall[] = topics.flatMap((topic) => catalogue[topic]);

/** The JSON Schema of a call's input: defaults stand in it, and what has one may be left out. */
export const inputSchema = (called: StatCall): object => z.toJSONSchema(called.schema, { io: 'input' });
