import { z } from 'zod';
import { cohenKappa, kappaWeights } from '../cohen-kappa';
import { correlation, correlationMethods } from '../correlation';
import { cronbachAlpha } from '../cronbach-alpha';
import { fleissKappa } from '../fleiss-kappa';
import { icc } from '../icc';
import { krippendorffAlpha, measurementLevels } from '../krippendorff-alpha';
import { panelPerformance } from '../panel-performance';
import { retest } from '../retest';
import { call, type StatCall } from './call';
import { count, figure, figures, item, level, share } from './pieces';

const table = z.array(z.array(figure).min(2)).min(2);
const category = z.union([z.string().min(1), figure]);
const name = z.union([item, z.number()]);

/** Do listeners agree with one another, and with themselves? */
export const consistency: readonly StatCall[] = [
  call(
    'icc',
    'Intraclass correlations of ratings on a scale, in six forms with limits',
    z.strictObject({ ratings: table.describe('one row a subject, one column a rater'), level }),
    icc,
  ),
  call(
    'cohen-kappa',
    'Agreement of two raters on categories beyond chance, near misses weighted if wished',
    z.strictObject({
      first: z.array(category).min(2).describe('category of each thing by the first rater'),
      second: z.array(category).min(2).describe('by the second, in the same order'),
      weights: z
        .union([z.enum(kappaWeights), z.array(z.array(share).min(1)).min(1)])
        .default('none')
        .describe('or a matrix of agreement weights, categories in sorted order, 1 on the diagonal'),
      level,
    }),
    cohenKappa,
  ),
  call(
    'fleiss-kappa',
    'Agreement of any number of raters on categories beyond chance',
    z.strictObject({
      counts: z
        .array(z.array(count).min(2))
        .min(2)
        .describe('one row a subject, one column a category: raters who chose it'),
    }),
    fleissKappa,
  ),
  call(
    'krippendorff-alpha',
    'Agreement of raters beyond chance on any level of measurement, gaps allowed',
    z.strictObject({
      ratings: z
        .array(z.array(z.union([figure, z.string().min(1), z.null()])).min(2))
        .min(2)
        .describe('one row a rater, one column an item, null where missing; texts at the nominal level only'),
      level: z.enum(measurementLevels).describe('of measurement: what counts as far apart'),
    }),
    krippendorffAlpha,
  ),
  call(
    'cronbach-alpha',
    'Reliability of a sum over items that are to measure one thing',
    z.strictObject({ scores: table.describe('one row a case, one column an item') }),
    cronbachAlpha,
  ),
  call(
    'retest',
    'Bias, limits of agreement and repeatability of two measurements of the same things',
    z.strictObject({
      first: figures.min(2).describe('first measurements'),
      second: figures.min(2).describe('second ones of the same things, in the same order'),
    }),
    retest,
  ),
  call(
    'panel-performance',
    'Discrimination, repeatability, agreement and bias of each listener, and of the panel',
    z.strictObject({
      rows: z
        .array(z.strictObject({ listener: name, item: name, replicate: name, score: figure }))
        .min(1)
        .describe('every listener and item with equally many replicates, at least two'),
    }),
    panelPerformance,
  ),
  call(
    'correlation',
    'Correlation of two lists of figures, by value or by rank, with its test',
    z.strictObject({
      first: figures.min(2).describe('at least 3 for pearson'),
      second: figures.min(2).describe('in the same order'),
      method: z.enum(correlationMethods).default('pearson'),
      level: level.describe('two-sided level of the interval, pearson only'),
    }),
    correlation,
  ),
];
