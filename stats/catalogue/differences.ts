import { z } from 'zod';
import { aNotA, rateCorrections } from '../a-not-a';
import { binomialTest } from '../binomial-test';
import { criticalCount, mostTrials } from '../critical-count';
import { dPrime } from '../d-prime';
import { distinguishers } from '../distinguishers';
import { mcnemar } from '../mcnemar';
import { power } from '../power';
import { proportionCorrect } from '../proportion-correct';
import { proportionInterval, proportionIntervalMethods } from '../proportion-interval';
import { replicatedDifference } from '../replicated-difference';
import { sameDifferent } from '../same-different';
import { sampleSize } from '../sample-size';
import { similarityCount } from '../similarity-count';
import { similarityListeners } from '../similarity-listeners';
import { similaritySize } from '../similarity-size';
import { stratifiedYes } from '../stratified-yes';
import { thurstonianMethods } from '../thurstonian';
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

/** Trials of a test that is looked up: its counts are searched for. */
const planned = trials.max(mostTrials);
const ofSitting = z.int().min(0).max(1_000);
const similarityBeta = open.default(0.05).describe('risk of calling alike what so many can tell apart');

/** Can anyone hear it? Answers that are right or wrong. */
export const differences: readonly StatCall[] = [
  call(
    'binomial-test',
    'Exact binomial test of right answers against guessing',
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
    z.strictObject({ trials: planned, chance, alpha, alternative: greater }),
    criticalCount,
  ),
  call(
    'similarity-count',
    'Most right answers that still show that hardly anyone hears it',
    z.strictObject({
      trials: planned,
      chance,
      pd: share.describe('share of listeners that would matter if it could hear the difference'),
      beta: similarityBeta,
    }),
    similarityCount,
  ),
  call(
    'power',
    'Exact power of a difference test of a given size',
    z.strictObject({ trials: planned, alpha, alternative: greater, ...truth }),
    power,
  ),
  call(
    'sample-size',
    'Fewest trials that give a difference test the power wanted',
    z.strictObject({ alpha, beta, alternative: greater, ...truth }),
    sampleSize,
  ),
  call(
    'similarity-size',
    'Fewest trials that give a similarity test the power wanted',
    z.strictObject({
      chance,
      pd: share.describe('share of listeners that would matter if it could hear the difference, above truePd'),
      beta: similarityBeta,
      truePd: share.default(0).describe('share of listeners that truly hears it'),
      power: open.default(0.8).describe('wanted probability of showing likeness'),
    }),
    similaritySize,
  ),
  call(
    'similarity-listeners',
    'Whether hardly anyone hears it, with the listener as the unit: p, upper limit, most right',
    z.strictObject({
      listeners: z
        .array(
          z.strictObject({
            correct: count.max(20_000),
            trials: trials.max(20_000).describe('answers of this listener'),
          }),
        )
        .min(1)
        .max(2_000),
      chance,
      pd: share.describe('share of trials truly heard, or of listeners who hear it, that would matter'),
      beta: similarityBeta,
    }),
    similarityListeners,
  ),
  call(
    'distinguishers',
    'Share of listeners who hear the difference, lucky guesses taken out, with its interval',
    z.strictObject({ correct: count, trials, chance, level }),
    distinguishers,
  ),
  call(
    'd-prime',
    'Distance d′ of two samples to the ear, from right answers, with its interval',
    z.strictObject({ method, correct: count, trials, level }),
    dPrime,
  ),
  call(
    'proportion-correct',
    'Share of right answers that a method gives at a distance d′',
    z.strictObject({ method, dPrime: distance }),
    proportionCorrect,
  ),
  call(
    'same-different',
    'Exact test of same-different answers, with the distance d′ that they show',
    z.strictObject({
      differentSaidDifferent: count.describe('different pairs that were called different'),
      differentPairs: z.int().min(1).describe('pairs of two samples'),
      sameSaidDifferent: count.describe('same pairs that were called different'),
      samePairs: z.int().min(1).describe('pairs of one sample with itself'),
      correction: z
        .enum(rateCorrections)
        .default('none')
        .describe('log-linear adds half an answer and one pair to each kind'),
    }),
    sameDifferent,
  ),
  call(
    'a-not-a',
    'Exact test of A/not-A answers, with the distance d′ and the leaning to either answer',
    z.strictObject({
      hits: count.describe('“A” said of A'),
      signalTrials: z.int().min(1).max(1e9).describe('trials with A'),
      falseAlarms: count.describe('“A” said of the other'),
      noiseTrials: z.int().min(1).max(1e9).describe('trials with the other'),
      correction: z
        .enum(rateCorrections)
        .default('log-linear')
        .describe('log-linear adds half an answer and one trial to each kind'),
    }),
    aNotA,
  ),
  call(
    'stratified-yes',
    'Exact test of yes-or-no answers to two kinds of trials, each sitting compared with itself',
    z.strictObject({
      strata: z
        .array(
          z.strictObject({
            hits: ofSitting.describe('yes, of signalTrials'),
            signalTrials: ofSitting.describe('trials of the kind in which yes is right'),
            falseAlarms: ofSitting.describe('yes, of noiseTrials'),
            noiseTrials: ofSitting.describe('trials of the other kind'),
          }),
        )
        .min(1)
        .max(100_000)
        .describe('one entry a sitting'),
    }),
    stratifiedYes,
  ),
  call(
    'replicated-difference',
    'Share of listeners who hear it and how much they differ, when each answered several times',
    z.strictObject({
      listeners: z
        .array(
          z.strictObject({ correct: count.max(1e6), trials: trials.max(1e6).describe('answers of this listener') }),
        )
        .min(1)
        .max(100_000),
      weights: z
        .array(z.int().min(1).max(1e9))
        .optional()
        .describe('how many listeners each entry stands for, by default 1 each'),
      chance: z.number().min(0).lt(1).default(0.5).describe('probability of a right answer by guessing'),
      level,
    }),
    replicatedDifference,
  ),
  call(
    'mcnemar',
    'McNemar’s exact test of yes-or-no answers given twice: more changes one way than the other',
    z.strictObject({
      b: count.describe('pairs that changed from yes to no'),
      c: count.describe('pairs that changed from no to yes'),
    }),
    mcnemar,
  ),
];
