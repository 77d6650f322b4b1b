import { z } from 'zod';
import { adjustP } from './adjust-p';
import { binomialTest } from './binomial-test';
import { bradleyTerry } from './bradley-terry';
import { circularTriads } from './circular-triads';
import { clusteredShareInterval } from './clustered-share-interval';
import { criticalCount } from './critical-count';
import { StatsError, statsErrorCodes } from './errors';
import { listenerBootstrap } from './listener-bootstrap';
import { pairedPreference } from './paired-preference';
import { power } from './power';
import { preferencePower } from './preference-power';
import { preferenceSize } from './preference-size';
import { proportionInterval } from './proportion-interval';
import { sampleSize } from './sample-size';
import { schemas } from './schemas';
import { signFlip } from './sign-flip';

export { StatsError, statsErrorCodes };

export type Topic = 'differences' | 'preferences' | 'several questions';

/** A call by name: what the command line and whoever else takes input from outside uses. */
export interface StatCall {
  name: string;
  summary: string;
  topic: Topic;
  schema: z.ZodType;
  /** Checks the input and computes; bad input is thrown as StatsError. */
  run(input: unknown): unknown;
}

function call<Input>(
  name: string,
  topic: Topic,
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
  return { name, topic, summary, schema, run };
}

function fromIssue(issue: z.core.$ZodIssue | undefined, input: unknown): StatsError {
  const path = (issue?.path ?? []).map(String);
  const got = path.reduce<unknown>((value, key) => (value instanceof Object ? Reflect.get(value, key) : value), input);
  return new StatsError('wrong-type', path.join('.'), issue?.message ?? 'is not as expected', 'see --schema', got);
}

const s = schemas;

/** Every call there is, in the order of the catalogue. */
export const statCalls: readonly StatCall[] = [
  call(
    'binomial-test',
    'differences',
    'Exact binomial test: how surprising so many right answers are by guessing',
    s['binomial-test'],
    binomialTest,
  ),
  call(
    'proportion-interval',
    'differences',
    'Interval for a share of right answers, by five methods',
    s['proportion-interval'],
    proportionInterval,
  ),
  call(
    'critical-count',
    'differences',
    'Fewest right answers that are significant',
    s['critical-count'],
    criticalCount,
  ),
  call('power', 'differences', 'Exact power of a difference test of a given size', s.power, power),
  call('sample-size', 'differences', 'Trials that a difference test needs', s['sample-size'], sampleSize),
  call(
    'paired-preference',
    'preferences',
    'Share and exact test of a preference, every answer counted as a person',
    s['paired-preference'],
    pairedPreference,
  ),
  call(
    'bradley-terry',
    'preferences',
    'One scale from many paired comparisons, with standard errors and all pairs',
    s['bradley-terry'],
    bradleyTerry,
  ),
  call(
    'circular-triads',
    'preferences',
    'How often one listener goes round in circles',
    s['circular-triads'],
    circularTriads,
  ),
  call(
    'sign-flip',
    'preferences',
    'Permutation test of a preference, every listener counted once',
    s['sign-flip'],
    signFlip,
  ),
  call(
    'clustered-share-interval',
    'preferences',
    'Interval for a share averaged over listeners, every listener counted once',
    s['clustered-share-interval'],
    clusteredShareInterval,
  ),
  call(
    'listener-bootstrap',
    'preferences',
    'Intervals by drawing panels anew from the listeners',
    s['listener-bootstrap'],
    listenerBootstrap,
  ),
  call(
    'preference-power',
    'preferences',
    'Power of the sign-flip test by simulated panels',
    s['preference-power'],
    preferencePower,
  ),
  call(
    'preference-size',
    'preferences',
    'Listeners that a preference panel needs, by simulated panels',
    s['preference-size'],
    preferenceSize,
  ),
  call('adjust-p', 'several questions', 'Corrects p values for the number of questions asked', s['adjust-p'], adjustP),
];

/** The JSON Schema of a call's input: defaults stand in it, and what has one may be left out. */
export const inputSchema = (called: StatCall): object => z.toJSONSchema(called.schema, { io: 'input' });
