import { z } from 'zod';
import { psychometricFit } from '../psychometric-fit';
import { psychometricShapes } from '../psychometric-shapes';
import { staircase } from '../staircase';
import { call, type StatCall } from './call';
import { count, figure, trials } from './pieces';

const inARow = z.int().min(1).max(100);
const weight = z.number().min(1e-6).max(1e6).default(1);

/** How small a change can be heard? */
export const thresholds: readonly StatCall[] = [
  call(
    'staircase',
    'Up-down staircase of one listener: levels, reversals, threshold and what it aims at',
    z.strictObject({
      rule: z.strictObject({
        down: inARow.describe('right answers in a row that make it harder'),
        up: inARow.default(1).describe('wrong answers in a row that make it easier'),
      }),
      steps: z
        .array(z.number().gt(0).max(1e9))
        .min(1)
        .max(100_000)
        .describe('size until the 1st reversal, until the 2nd, …; the last goes on'),
      weights: z
        .strictObject({ up: weight, down: weight })
        .default({ up: 1, down: 1 })
        .describe('multiples of the step'),
      start: figure.describe('level of the first trial'),
      answers: z
        .array(z.union([z.literal(0), z.literal(1)]))
        .max(100_000)
        .describe('1 right, 0 wrong'),
      discard: z.int().min(0).max(100_000).default(2).describe('reversals left out at the beginning'),
    }),
    staircase,
  ),
  call(
    'psychometric-fit',
    'Psychometric function through right answers at several levels: threshold and slope',
    z.strictObject({
      levels: z.array(figure).min(2).max(100_000).describe('in any unit, at least two different ones'),
      correct: z.array(count).min(2).max(100_000).describe('right answers at each level'),
      trials: z.array(trials).min(2).max(100_000).describe('answers at each level'),
      guess: z.number().min(0).lt(1).describe('probability of a right answer where nothing is heard'),
      lapse: z.number().min(0).lt(1).default(0).describe('probability of a wrong answer where everything is heard'),
      shape: z.enum(psychometricShapes).default('logistic'),
    }),
    psychometricFit,
  ),
];
