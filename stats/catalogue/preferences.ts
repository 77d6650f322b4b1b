import { z } from 'zod';
import { audienceInteraction } from '../audience-interaction';
import { bradleyTerry } from '../bradley-terry';
import { circularTriads } from '../circular-triads';
import { clusteredShareInterval } from '../clustered-share-interval';
import { cochranQ } from '../cochran-q';
import { coefficientOfAgreement } from '../coefficient-of-agreement';
import { links } from '../comparison-model';
import { tieRules } from '../comparisons';
import { durbin } from '../durbin';
import { friedman } from '../friedman';
import { bootstrapMethods, listenerBootstrap } from '../listener-bootstrap';
import { page } from '../page';
import { noneRules, pairedPreference } from '../paired-preference';
import { preferencePower } from '../preference-power';
import { preferenceSize } from '../preference-size';
import { rankDifferenceMethods, rankDifferences } from '../rank-differences';
import { signFlip } from '../sign-flip';
import { thurstoneCaseV } from '../thurstone-case-v';
import { call, type StatCall } from './call';
import { alpha, count, figure, figures, item, items, level, open, scores, seed, share, twoSided } from './pieces';

const answers = z.number().min(0).max(1e12);
const mostRows = 100_000;
const name = z.union([item, z.number()]);
const comparison = z.strictObject({
  first: item,
  second: item,
  firstWins: answers,
  secondWins: answers,
  ties: answers.default(0),
});
const comparisonModel = {
  ties: z
    .enum(tieRules)
    .default('none')
    .describe('none leaves ties out; half counts half a win each way; davidson estimates the weight of a tie'),
  orderEffect: z.boolean().default(false).describe('estimates what being heard first is worth'),
  link: z.enum(links).default('logit').describe('probit: Thurstone’s case V by maximum likelihood; not with davidson'),
  halfWin: z
    .boolean()
    .default(false)
    .describe('adds half an answer to each outcome of every pair compared; mark the estimate'),
};

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
const higherIsBetter = z.boolean().default(true).describe('rank 1 is the highest score; false: the lowest');
const pairTable = <T extends z.ZodType>(cell: T) => z.array(z.array(cell.nullable()));
const listenersOf = <T extends z.ZodType>(row: T) =>
  z.array(z.array(row).min(1).max(mostRows)).min(2).max(mostRows).describe('one list a listener');

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
    'Bradley–Terry scale from paired comparisons, with ties, order effect, errors and all pairs',
    z.strictObject({
      items,
      comparisons: z.array(comparison).min(1).max(mostRows),
      ...comparisonModel,
      level,
    }),
    bradleyTerry,
  ),
  call(
    'thurstone-case-v',
    'Thurstone’s scale from paired comparisons, by least squares on normal scores',
    z.strictObject({
      items,
      wins: pairTable(z.int().min(0).max(1e9))
        .optional()
        .describe('how often the row was preferred to the column; this or proportions; diagonal 0 or null'),
      proportions: pairTable(share)
        .optional()
        .describe('share that preferred the row to the column; diagonal 0.5, 0 or null'),
    }),
    thurstoneCaseV,
  ),
  call(
    'circular-triads',
    'Circles in one listener’s paired comparisons, A over B over C over A, against chance',
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
      perListener: figures.min(1).describe('net figure of each listener'),
      alternative: twoSided,
      seed,
      permutations: z.union([z.literal('exact'), z.int().min(100).max(1e7)]).optional(),
    }),
    signFlip,
  ),
  call(
    'listener-bootstrap',
    'Intervals for a share, a mean or a scale, by drawing panels anew from the listeners',
    z.discriminatedUnion('statistic', [
      z.strictObject({ statistic: z.literal('share'), listeners: listenersOf(share), ...resampling }),
      z.strictObject({ statistic: z.literal('mean'), listeners: listenersOf(figure), ...resampling }),
      z.strictObject({
        statistic: z.literal('bradley-terry'),
        listeners: listenersOf(comparison),
        items: items.optional(),
        ...comparisonModel,
        ...resampling,
      }),
    ]),
    listenerBootstrap,
  ),
  call(
    'audience-interaction',
    'Permutation test of whether audiences answer differently, every listener counted once',
    z.strictObject({
      rows: z
        .array(z.strictObject({ listener: name, audience: name, value: figure.optional(), wins: answers.optional() }))
        .min(2)
        .describe('value or wins, the same in all rows; of several rows of a listener the mean counts'),
      seed,
      permutations: z
        .int()
        .min(100)
        .max(1_000_000)
        .default(10_000)
        .describe('random ways to deal, where there are too many to count them all'),
    }),
    audienceInteraction,
  ),
  call(
    'coefficient-of-agreement',
    'Kendall’s coefficient of agreement of listeners in their paired comparisons, with its test',
    z.strictObject({
      wins: pairTable(z.int().min(0)).describe(
        'how many listeners preferred the row to the column; diagonal 0 or null',
      ),
      listeners: z.int().min(3).max(1e6),
    }),
    coefficientOfAgreement,
  ),
  call(
    'friedman',
    'Friedman’s test of rankings, every listener having judged all items',
    z.strictObject({
      scores,
      higherIsBetter,
      permutations: z
        .int()
        .min(100)
        .max(1_000_000)
        .optional()
        .describe('shuffles for a permutation p beside the others'),
      seed,
    }),
    friedman,
  ),
  call(
    'page',
    'Page’s test of rankings for an order that was expected beforehand',
    z.strictObject({
      scores,
      order: z.array(z.int().min(1)).optional().describe('column numbers from 1, expected ascending; as they stand'),
    }),
    page,
  ),
  call(
    'rank-differences',
    'Pairs of items that differ in their rank sums, with the critical difference',
    z.strictObject({ scores, method: z.enum(rankDifferenceMethods), alpha, higherIsBetter }),
    rankDifferences,
  ),
  call(
    'durbin',
    'Durbin’s test of rankings, every listener having judged some of the items',
    z.strictObject({
      scores: z
        .array(z.array(figure.nullable()))
        .describe('one row a block, one column an item; null where not served'),
      higherIsBetter,
    }),
    durbin,
  ),
  call(
    'cochran-q',
    'Cochran’s test of ticks: whether some items are ticked more often than others',
    z.strictObject({
      answers: z.array(z.array(z.int().min(0).max(1))).describe('one row a listener, one column an item; 0 or 1'),
    }),
    cochranQ,
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
    'preference-power',
    'Power of the sign-flip test, by simulated panels',
    z.strictObject({ listeners: z.int().min(1).max(2000), ...panel }),
    preferencePower,
  ),
  call(
    'preference-size',
    'Fewest listeners that give the sign-flip test the power wanted, by simulated panels',
    z.strictObject({ beta: open.default(0.2).describe('risk of missing the preference'), ...panel }),
    preferenceSize,
  ),
];
