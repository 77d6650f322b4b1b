import { z } from 'zod';
import { binomialTest } from '../binomial-test';
import { criticalCount } from '../critical-count';
import { power } from '../power';
import { proportionInterval, proportionIntervalMethods } from '../proportion-interval';
import { sampleSize } from '../sample-size';
import { call, type StatCall } from './call';
import { alpha, beta, chance, count, greater, level, share, trials } from './pieces';

const truth = {
  pd: share.optional().describe('share of listeners who hear it; this or proportion'),
  proportion: share.optional().describe('true probability of a right answer; this or pd'),
};

/** Can anyone hear it? Answers that are right or wrong. */
export const differences: readonly StatCall[] = [
  call(
    'binomial-test',
    'Exact binomial test: how surprising so many right answers are by guessing',
    z.strictObject({ correct: count, trials, chance, alternative: greater }),
    binomialTest,
  ),
  call(
    'proportion-interval',
    'Interval for a share of right answers, by five methods',
    z.strictObject({
      correct: count,
      trials,
      level,
      method: z.enum(proportionIntervalMethods).default('clopper-pearson'),
    }),
    proportionInterval,
  ),
  call(
    'critical-count',
    'Fewest right answers that are significant',
    z.strictObject({ trials, chance, alpha, alternative: greater }),
    criticalCount,
  ),
  call(
    'power',
    'Exact power of a difference test of a given size',
    z.strictObject({ trials, chance, alpha, alternative: greater, ...truth }),
    power,
  ),
  call(
    'sample-size',
    'Trials that a difference test needs',
    z.strictObject({
      chance,
      alpha,
      beta,
      alternative: greater,
      ...truth,
    }),
    sampleSize,
  ),
];
