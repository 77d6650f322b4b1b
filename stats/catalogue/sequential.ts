import { z } from 'zod';
import { alwaysValid } from '../always-valid';
import { sprt } from '../sprt';
import { call, type StatCall } from './call';
import { alpha, beta, greater, open } from './pieces';

const p0 = open.describe('probability of a right answer by guessing');
const outcomes = z
  .array(z.int().min(0).max(1))
  .max(100_000)
  .describe('answers as they came, 1 right and 0 wrong; may be empty');
const prior = z.number().min(1e-6).max(1e6).default(1);

/** May we stop yet? Answers looked at one after another. */
export const sequential: readonly StatCall[] = [
  call(
    'sprt',
    'Wald’s sequential test: whether a difference test may stop, after each answer',
    z.strictObject({
      p0,
      p1: open.describe('probability of a right answer where there is the difference worth finding, above p0'),
      alpha,
      beta,
      outcomes,
      strict: z.boolean().default(false).describe('true: an upper bound that never exceeds alpha'),
    }),
    sprt,
  ),
  call(
    'always-valid',
    'Evidence and limits that hold whenever one looks, after each answer',
    z.strictObject({
      p0,
      outcomes,
      alpha,
      priorA: prior.describe('right answers that the prior is worth'),
      priorB: prior.describe('wrong answers that the prior is worth'),
      alternative: greater,
    }),
    alwaysValid,
  ),
];
