import { z } from 'zod';
import { binomialTest } from '../binomial-test';
import { criticalCount } from '../critical-count';
import { dPrime } from '../d-prime';
import { power } from '../power';
import { proportionCorrect } from '../proportion-correct';
import { proportionInterval, proportionIntervalMethods } from '../proportion-interval';
import { thurstonianMethods } from '../psychometric';
import { sampleSize } from '../sample-size';
import { call, type StatCall } from './call';
import { alpha, beta, chance, count, greater, level, open, share, trials } from './pieces';

const method = z.enum(thurstonianMethods);
const distance = z.number().min(0).describe('distance of the samples in standard deviations of one impression');
const truth = {
  chance: open.optional().describe('probability of a right answer by guessing, by default 0.5 or that of the method'),
  pd: share.optional().describe('share of listeners who hear it; this, proportion or dPrime'),
  proportion: share.optional().describe('true probability of a right answer; this, pd or dPrime'),
  dPrime: distance.optional(),
  method: method.optional().describe('beside dPrime: how it is asked'),
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
    z.strictObject({ trials, alpha, alternative: greater, ...truth }),
    power,
  ),
  call(
    'sample-size',
    'Trials that a difference test needs',
    z.strictObject({ alpha, beta, alternative: greater, ...truth }),
    sampleSize,
  ),
  call(
    'd-prime',
    'Distance of two samples to the ear, from right answers, with its interval',
    z.strictObject({ method, correct: count, trials, level }),
    dPrime,
  ),
  call(
    'proportion-correct',
    'Share of right answers that a method gives at a distance of two samples',
    z.strictObject({ method, dPrime: distance }),
    proportionCorrect,
  ),
];
