import { z } from 'zod';
import { bradleyTerry, tieRules } from '../bradley-terry';
import { circularTriads } from '../circular-triads';
import { clusteredShareInterval } from '../clustered-share-interval';
import { bootstrapMethods, listenerBootstrap } from '../listener-bootstrap';
import { noneRules, pairedPreference } from '../paired-preference';
import { preferencePower } from '../preference-power';
import { preferenceSize } from '../preference-size';
import { signFlip } from '../sign-flip';
import { call, type StatCall } from './call';
import { alpha, count, item, items, level, open, seed, share, twoSided } from './pieces';

const answers = z.number().min(0).max(1e12);
const comparison = z.strictObject({
  first: item,
  second: item,
  firstWins: answers,
  secondWins: answers,
  ties: answers.default(0),
});
const ties = z.enum(tieRules).default('none').describe('none leaves ties out; half counts half a win each way');
const halfWin = z
  .boolean()
  .default(false)
  .describe('adds half a win each way to every pair compared; mark the estimate');

const panel = {
  repeats: z.int().min(1).max(100).default(1).describe('trials of the pair for each listener'),
  share: share.describe('true share of preferences for the first'),
  gamma: z.number().min(0).lt(1).default(0.3).describe("spread of listeners' own tastes"),
  alpha,
  alternative: twoSided,
  panels: z.int().min(100).max(100_000).default(2000),
  seed,
};
const resampling = {
  level,
  resamples: z.int().min(100).max(1_000_000).default(10_000),
  seed,
  method: z.enum(bootstrapMethods).default('bca'),
};
const listenersOf = <T extends z.ZodType>(row: T) =>
  z.array(z.array(row).min(1)).min(2).describe('one list a listener');

/** Which is better? Choices, rankings and ticks. */
export const preferences: readonly StatCall[] = [
  call(
    'paired-preference',
    'Share and exact test of a preference, every answer counted as a person',
    z.strictObject({
      first: count,
      second: count,
      none: count.default(0),
      noneRule: z.enum(noneRules).default('drop'),
      alternative: twoSided,
      level,
    }),
    pairedPreference,
  ),
  call(
    'bradley-terry',
    'One scale from many paired comparisons, with standard errors and all pairs',
    z.strictObject({
      items,
      comparisons: z.array(comparison).min(1),
      ties,
      orderEffect: z.literal(false).default(false).describe('true is not available yet'),
      link: z.enum(['logit']).default('logit').describe('probit is not available yet'),
      level,
      halfWin,
    }),
    bradleyTerry,
  ),
  call(
    'circular-triads',
    'How often one listener goes round in circles',
    z.strictObject({
      preferences: z
        .array(
          z
            .array(z.union([z.literal(0), z.literal(1), z.null()]))
            .min(3)
            .max(100),
        )
        .min(3)
        .max(100)
        .describe('1 where the row is preferred to the column; diagonal 0 or null'),
    }),
    circularTriads,
  ),
  call(
    'sign-flip',
    'Permutation test of a preference, every listener counted once',
    z.strictObject({
      perListener: z.array(z.number().min(-1e15).max(1e15)).min(1).describe('net figure of each listener'),
      alternative: twoSided,
      seed,
      permutations: z.union([z.literal('exact'), z.int().min(100).max(1e7)]).optional(),
    }),
    signFlip,
  ),
  call(
    'clustered-share-interval',
    'Interval for a share averaged over listeners, every listener counted once',
    z.strictObject({
      listeners: z
        .array(z.strictObject({ share: share.optional(), wins: z.number().min(0).optional(), trials: z.int().min(1) }))
        .min(1)
        .describe('share or wins, and trials, of each listener'),
      level,
    }),
    clusteredShareInterval,
  ),
  call(
    'listener-bootstrap',
    'Intervals by drawing panels anew from the listeners',
    z.discriminatedUnion('statistic', [
      z.strictObject({ statistic: z.literal('share'), listeners: listenersOf(share), ...resampling }),
      z.strictObject({ statistic: z.literal('mean'), listeners: listenersOf(z.number()), ...resampling }),
      z.strictObject({
        statistic: z.literal('bradley-terry'),
        listeners: listenersOf(comparison),
        items: items.optional(),
        ties,
        halfWin,
        ...resampling,
      }),
    ]),
    listenerBootstrap,
  ),
  call(
    'preference-power',
    'Power of the sign-flip test by simulated panels',
    z.strictObject({ listeners: z.int().min(1).max(2000), ...panel }),
    preferencePower,
  ),
  call(
    'preference-size',
    'Listeners that a preference panel needs, by simulated panels',
    z.strictObject({ beta: open.default(0.2).describe('risk of missing the preference'), ...panel }),
    preferenceSize,
  ),
];
