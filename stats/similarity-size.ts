import { number, options, probability } from './check';
import { StatsError } from './errors';
import { largestSize, type SizedTest, sizesFor } from './sample-size';

export interface SimilaritySizeInput {
  chance?: number | undefined;
  pd: number;
  beta?: number | undefined;
  truePd?: number | undefined;
  power?: number | undefined;
}

export type SizedSimilarity = Pick<SizedTest, 'trials' | 'count' | 'power'>;

export interface SimilaritySizeResult {
  smallest: SizedSimilarity;
  lasting: SizedSimilarity;
}

/**
 * How many trials a similarity test needs to have a fair chance of showing likeness where there is likeness.
 *
 * Use it before a test that is meant to show that hardly anyone hears a difference: with too few trials even samples that
 * are the same fail it. The test is the exact one of the limit pd, downwards, so that its power is saw-toothed like that
 * of a difference test. Assumes what `similarityCount` assumes.
 *
 * @param input.chance probability of a right answer by guessing, by default 0.5
 * @param input.pd the share of listeners that would matter if it could hear the difference, above truePd, at most 1
 * @param input.beta risk of calling alike what so many can tell apart, by default 0.05
 * @param input.truePd the share that truly hears it, from 0, by default 0: the samples are the same
 * @param input.power wanted probability of showing likeness, between 0 and 1, by default 0.8
 * @returns smallest: the fewest trials whose power is reached; lasting: the fewest from which on it never falls short
 *   again; each {trials, count: the most right answers, as `similarityCount` gives it, power: P(X ≤ count) at truePd}
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range; inconsistent where pd is not above truePd;
 *   unreachable above 100,000 trials
 *
 * Accuracy: whole numbers exact, as those of `sampleSize`; power 1e-11 relative.
 * Source: the definition; ISO 4120:2021, ISO 10399:2004 and ISO 5495:2005 plan similarity tests by beta and pd alone.
 *
 * @example
 * similaritySize({ chance: 1 / 3, pd: 0.3, beta: 0.05, power: 0.8 })
 * // { smallest: { trials: 39, count: 15, power: 0.803533759145796 }, lasting: { trials: 46, count: 18 } }
 */
export function similaritySize(input: SimilaritySizeInput): SimilaritySizeResult {
  options(input, ['chance', 'pd', 'beta', 'truePd', 'power']);
  const chance = probability(input.chance ?? 0.5, 'chance');
  const pd = number(input.pd, 'pd', { min: 0, max: 1 });
  const beta = probability(input.beta ?? 0.05, 'beta');
  const truePd = number(input.truePd ?? 0, 'truePd', { min: 0, max: 1 });
  const power = probability(input.power ?? 0.8, 'power');
  if (truePd >= pd) {
    const path = input.truePd === undefined ? 'pd' : 'truePd';
    const wrong = 'leaves nothing to show';
    throw new StatsError('inconsistent', path, wrong, `pd above truePd, ${truePd}`, path === 'pd' ? pd : truePd);
  }
  const right = (share: number) => chance + share * (1 - chance);
  const sizes = sizesFor(right(pd), beta, 'less', right(truePd), power);
  if (sizes === null) {
    const allowed = `a limit that ${largestSize} trials show with the power wanted`;
    throw new StatsError('unreachable', 'pd', 'is too near to truePd', allowed, pd);
  }
  const sized = ({ trials, count, power }: SizedTest): SizedSimilarity => ({ trials, count, power });
  return { smallest: sized(sizes.smallest), lasting: sized(sizes.lasting) };
}
