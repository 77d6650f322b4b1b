import { z } from 'zod';
import { alwaysValid } from '../always-valid';
import { mostPeeked, peeking } from '../peeking';
import { sprt } from '../sprt';
import { call, type StatCall } from './call';
import { alpha, beta, chance, greater, open } from './pieces';

const p0 = open.describe('probability of a right answer by guessing');
const outcomes = z
  .array(z.int().min(0).max(1))
  .max(100_000)
  .describe('answers as they came, 1 right and 0 wrong; may be empty');
const peeked = z.int().min(1).max(mostPeeked);
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
  call(
    'peeking',
    'What looking again and again costs a difference test that was meant to be looked at once',
    z.strictObject({
      first: peeked.describe('trials before the first look'),
      last: peeked.describe('trials at the last look, from first on'),
      every: peeked.default(1).describe('trials from one look to the next'),
      chance,
      alpha,
      alternative: greater,
    }),
    peeking,
  ),
];
