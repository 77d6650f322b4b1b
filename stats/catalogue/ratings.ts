import { z } from 'zod';
import { adjustMethods, adjustP } from '../adjust-p';
import { anovaBlocks } from '../anova-blocks';
import { dip } from '../dip';
import { equivalence } from '../equivalence';
import { justAboutRight } from '../just-about-right';
import { mixedMethods, mixedModel } from '../mixed-model';
import { pairedT } from '../paired-t';
import { preferenceMap } from '../preference-map';
import { principalComponents } from '../principal-components';
import { sizeForMeans } from '../size-for-means';
import { summary } from '../summary';
import { wilcoxonSignedRank, zeroRules } from '../wilcoxon-signed-rank';
import { call, type StatCall } from './call';
import { alpha, beta, figure, figures, level, scores, seed, share, twoSided } from './pieces';

const paired = {
  first: figures.min(1).describe('ratings of the first sample, one a listener'),
  second: figures.min(1).describe('ratings of the second, by the same listeners in the same order'),
};
const above0 = z.number().gt(0).lt(1e15);

const column = z.string().min(1);
const termName = z.union([column, z.array(column).min(1).max(4)]);

/** How do they differ, and by how much? Figures on a scale. */
export const ratings: readonly StatCall[] = [
  call(
    'summary',
    'Mean, spread and quartiles of ratings, with an interval for the mean',
    z.strictObject({ values: figures.min(2), level }),
    summary,
  ),
  call(
    'paired-t',
    'Paired t test of two samples’ mean ratings, with the interval of their difference',
    z.strictObject({ ...paired, alternative: twoSided, level }),
    pairedT,
  ),
  call(
    'wilcoxon-signed-rank',
    'Wilcoxon’s test of two samples’ ratings by signed ranks, exact with ties',
    z.strictObject({
      ...paired,
      alternative: twoSided,
      zeros: z.enum(zeroRules).default('drop').describe('drop leaves zeros out; pratt ranks them along first'),
      level,
    }),
    wilcoxonSignedRank,
  ),
  call(
    'equivalence',
    'Equivalence test of two samples’ mean ratings within a margin, by two one-sided t tests',
    z.strictObject({
      ...paired,
      margin: above0.describe('largest mean difference that would not matter'),
      alpha: z.number().gt(0).lt(0.5).default(0.05).describe('risk of calling alike what is not'),
    }),
    equivalence,
  ),
  call(
    'anova-blocks',
    'Analysis of variance of items that every listener rated, and all pairs by Tukey',
    z.strictObject({ scores, level }),
    anovaBlocks,
  ),
  call(
    'adjust-p',
    'P values corrected for the number of questions asked',
    z.strictObject({ p: z.array(share).min(1), method: z.enum(adjustMethods).default('holm') }),
    adjustP,
  ),
  call(
    'size-for-means',
    'Fewest listeners that give a paired t test the power wanted',
    z.strictObject({
      standardDeviation: above0.describe('of the paired differences'),
      difference: figure.describe('true mean difference that should not be missed'),
      alpha,
      beta,
      alternative: twoSided,
    }),
    sizeForMeans,
  ),
  call(
    'principal-components',
    'Principal components of attributes: loadings, scores and variance, for a map of samples',
    z.strictObject({
      rows: z.array(figures.min(1).max(200)).min(2).describe('one row a sample, one column an attribute'),
      scale: z.boolean().default(true).describe('divides each attribute by its standard deviation'),
    }),
    principalComponents,
  ),
  call(
    'preference-map',
    'Preference map: each listener’s liking as an arrow on a map of samples, with a null',
    z.strictObject({
      places: z.array(figures.min(1).max(10)).min(3).max(100).describe('one row a sample, one column a dimension'),
      liking: z.array(figures.min(3).max(100)).min(1).max(100_000).describe('one row a listener, one column a sample'),
      permutations: z.int().min(100).max(100_000).default(5_000).describe('random deals from 8 samples on'),
      seed,
    }),
    preferenceMap,
  ),
  call(
    'mixed-model',
    'Mixed model of ratings: fixed terms beside listeners, sessions and units that vary',
    z.strictObject({
      rows: z.array(z.looseObject({})).min(1).max(100_000).describe('one object a rating'),
      response: column.describe('field that is explained'),
      fixed: z.array(termName).max(100).describe('fields beside the intercept, or lists of fields that interact'),
      random: z
        .array(
          z.strictObject({
            group: termName,
            slopes: z.array(column).max(20).default([]).describe('covariates whose slope varies'),
            correlated: z.boolean().default(true).describe('false: no covariances within a level'),
            intercept: z.boolean().default(true),
          }),
        )
        .max(50)
        .describe('what varies from level to level of a group'),
      covariates: z.array(column).max(100).default([]).describe('fields read as numbers, not as factors'),
      method: z.enum(mixedMethods).default('reml'),
      level,
      compare: column.optional().describe('factor of fixed whose levels are compared in pairs'),
    }),
    mixedModel,
  ),
  call(
    'just-about-right',
    'Liking lost among those who find too little or too much of an attribute',
    z.strictObject({
      liking: figures.min(1).describe('one value a listener'),
      level: z
        .array(z.union([z.literal(-1), z.literal(0), z.literal(1)]))
        .min(1)
        .describe('-1 too little, 0 right, 1 too much'),
    }),
    justAboutRight,
  ),
  call(
    'dip',
    'Whether ratings gather in one place or in two: Hartigan’s dip',
    z.strictObject({
      values: figures.min(4).describe('ties spread over the width of their step'),
      seed,
      samples: z.int().min(100).max(100_000).optional().describe('uniform samples that p is told by'),
    }),
    dip,
  ),
];
