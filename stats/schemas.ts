import { z } from 'zod';
import { adjustMethods } from './adjust-p';
import { tieRules } from './bradley-terry';
import { alternatives } from './check';
import { bootstrapMethods } from './listener-bootstrap';
import { noneRules } from './paired-preference';
import { proportionIntervalMethods } from './proportion-interval';

/**
 * The input of every call as a schema, from which the published JSON Schema is made. The functions check for themselves
 * what a schema can't say (one field against another) and give every error its words.
 */
const open = z.number().gt(0).lt(1);
const share = z.number().min(0).max(1);
const count = z.int().min(0);
const trials = z.int().min(1).describe('answers in all');
const chance = open.default(0.5).describe('probability of a right answer by guessing');
const alpha = open.default(0.05).describe('risk of a false alarm');
const level = open.default(0.95).describe('two-sided level of the interval');
const greater = z.enum(alternatives).default('greater');
const twoSided = z.enum(alternatives).default('two-sided');
const seed = z
  .union([z.int().min(0).max(0xffffffff), z.string().max(200)])
  .default(1)
  .describe('the same seed gives the same numbers');
const truth = {
  pd: share.optional().describe('share of listeners who hear it; this or proportion'),
  proportion: share.optional().describe('true probability of a right answer; this or pd'),
};

const item = z.string().min(1);
const items = z.array(item).min(2).max(1000);
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

export const schemas = {
  'binomial-test': z.strictObject({ correct: count, trials, chance, alternative: greater }),
  'proportion-interval': z.strictObject({
    correct: count,
    trials,
    level,
    method: z.enum(proportionIntervalMethods).default('clopper-pearson'),
  }),
  'critical-count': z.strictObject({ trials, chance, alpha, alternative: greater }),
  power: z.strictObject({ trials, chance, alpha, alternative: greater, ...truth }),
  'sample-size': z.strictObject({
    chance,
    alpha,
    beta: open.default(0.05).describe('risk of missing the difference'),
    alternative: greater,
    ...truth,
  }),
  'paired-preference': z.strictObject({
    first: count,
    second: count,
    none: count.default(0),
    noneRule: z.enum(noneRules).default('drop'),
    alternative: twoSided,
    level,
  }),
  'bradley-terry': z.strictObject({
    items,
    comparisons: z.array(comparison).min(1),
    ties,
    orderEffect: z.literal(false).default(false).describe('true is not available yet'),
    link: z.enum(['logit']).default('logit').describe('probit is not available yet'),
    level,
    halfWin,
  }),
  'circular-triads': z.strictObject({
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
  'sign-flip': z.strictObject({
    perListener: z.array(z.number().min(-1e15).max(1e15)).min(1).describe('net figure of each listener'),
    alternative: twoSided,
    seed,
    permutations: z.union([z.literal('exact'), z.int().min(100).max(1e7)]).optional(),
  }),
  'clustered-share-interval': z.strictObject({
    listeners: z
      .array(z.strictObject({ share: share.optional(), wins: z.number().min(0).optional(), trials: z.int().min(1) }))
      .min(1)
      .describe('share or wins, and trials, of each listener'),
    level,
  }),
  'listener-bootstrap': z.discriminatedUnion('statistic', [
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
  'preference-power': z.strictObject({ listeners: z.int().min(1).max(2000), ...panel }),
  'preference-size': z.strictObject({ beta: open.default(0.2).describe('risk of missing the preference'), ...panel }),
  'adjust-p': z.strictObject({ p: z.array(share).min(1), method: z.enum(adjustMethods).default('holm') }),
};
