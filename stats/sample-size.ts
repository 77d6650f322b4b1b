import { type Alternative, alternatives, choice, options, probability } from './check';
import { probabilityOf, rejectionRegion } from './critical-count';
import { StatsError } from './errors';
import { exactPower, type PowerResult, type Truth, trueProportion, truthsToCome } from './power';

export interface SampleSizeInput extends Truth {
  chance?: number | undefined;
  alpha?: number | undefined;
  beta?: number | undefined;
  alternative?: Alternative | undefined;
}

export interface SizedTest extends PowerResult {
  trials: number;
}

export interface SampleSizeResult {
  smallest: SizedTest;
  lasting: SizedTest;
}

/** The search ends here. */
export const mostTrials = 100_000;

/**
 * How many trials a difference test needs.
 *
 * Exact power is saw-toothed: one trial more may need one right answer more and so find less. Therefore two sizes: the
 * smallest that reaches the power, as printed tables give it, and the one from which on none falls below it.
 *
 * @param input.chance probability of a right answer by guessing, by default 0.5
 * @param input.alpha risk of a false alarm, by default 0.05
 * @param input.beta risk of missing the difference, by default 0.05
 * @param input.alternative `greater` (default), `less` or `two-sided`
 * @param input.pd share who hear it, or
 * @param input.proportion the probability of a right answer; see `power`
 * @returns smallest and lasting, each {trials, count, power, attainedAlpha}
 * @throws StatsError as `power`; inconsistent where the truth lies on chance or on the side that is not tested;
 *   unreachable above 100,000 trials
 *
 * Accuracy: whole numbers exact. "From which on" is searched half as far again as the last size that fell short (at
 * least 100 further trials), beyond which the teeth are smaller than the growth of power.
 * Source: ISO 4120:2004 Table A.3, ISO 10399:2004 Table A.3 (the smallest); Schlich (1993), Food Quality and Preference
 * 4:141.
 *
 * @example
 * sampleSize({ chance: 1 / 3, pd: 0.5, alpha: 0.05, beta: 0.2 }).smallest
 * // { trials: 16, count: 9, power: 0.873499284649347 }
 */
export function sampleSize(input: SampleSizeInput): SampleSizeResult {
  options(input, ['chance', 'alpha', 'beta', 'alternative', 'pd', 'proportion'], '', truthsToCome);
  const chance = probability(input.chance ?? 0.5, 'chance');
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const beta = probability(input.beta ?? 0.05, 'beta');
  const alternative = choice(input.alternative ?? 'greater', 'alternative', alternatives);
  const proportion = trueProportion(input, chance);
  checkSide(input, proportion, chance, alternative);

  const sized = (trials: number) => ({ trials, ...exactPower(trials, chance, alpha, alternative, proportion) });
  let smallest = 0;
  let lastShort = 0;
  let region = { upper: 1, lower: -1 };
  for (let trials = 1; trials <= mostTrials * 1.5; trials++) {
    region = rejectionRegion(trials, chance, alpha, alternative, region);
    const reached = probabilityOf(region, trials, proportion) >= 1 - beta;
    if (!reached) lastShort = trials;
    else if (smallest === 0) smallest = trials;
    if (smallest === 0 && trials === mostTrials) break;
    if (smallest > 0 && trials >= Math.max(lastShort + 100, lastShort * 1.5)) {
      return { smallest: sized(smallest), lasting: sized(lastShort + 1) };
    }
  }
  const allowed = `a difference that ${mostTrials} trials find with power 1 − beta`;
  throw new StatsError('unreachable', truthPath(input), 'is too near to chance', allowed, proportion);
}

const truthPath = (input: Truth) => (input.proportion === undefined ? 'pd' : 'proportion');

function checkSide(input: Truth, proportion: number, chance: number, alternative: Alternative): void {
  const side = Math.sign(proportion - chance);
  const right = alternative === 'two-sided' ? side !== 0 : side === (alternative === 'greater' ? 1 : -1);
  if (right) return;
  const where = { greater: 'above', less: 'below', 'two-sided': 'off' }[alternative];
  const wrong = 'gives no difference that this alternative could find';
  throw new StatsError('inconsistent', truthPath(input), wrong, `a probability ${where} chance`, proportion);
}
