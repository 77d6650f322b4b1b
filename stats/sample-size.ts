import { type Alternative, alternatives, choice, options, probability } from './check';
import { binomialUpper } from './distributions';
import { StatsError } from './errors';
import { exactPower, type PowerResult } from './power';
import { GrowingTest } from './power-curve';
import { type TrueProportion, type Truth, trueProportion, truthFields } from './true-proportion';

export interface SampleSizeInput extends Truth {
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

/** No larger size is searched for. */
export const largestSize = 100_000;
/** A power that equals 1 − beta but for rounding is reached. */
const rounding = 1 - 1e-12;

const fields = ['alpha', 'beta', 'alternative', ...truthFields];

/**
 * How many trials a difference test needs.
 *
 * Exact power is saw-toothed: one trial more may need one right answer more and so find less. Therefore two sizes: the
 * smallest that reaches the power, as printed tables give it, and the one from which on none falls below it.
 *
 * @param input.chance probability of a right answer by guessing, by default 0.5, with dPrime that of the method
 * @param input.alpha risk of a false alarm, by default 0.05
 * @param input.beta risk of missing the difference, by default 0.05
 * @param input.alternative `greater` (default), `less` or `two-sided`
 * @param input.pd share who hear it, or
 * @param input.proportion the probability of a right answer, or
 * @param input.dPrime the distance of the samples, with
 * @param input.method how it is asked; see `power`
 * @returns smallest and lasting, each {trials, count, power, attainedAlpha}
 * @throws StatsError as `power`; inconsistent where the truth lies on chance or on the side that is not tested;
 *   unreachable above 100,000 trials
 *
 * Accuracy: whole numbers exact; a power equal to 1 − beta but for rounding (1e-12 relative) is reached. "From which on"
 * is searched half as far again as the last size that fell short, at least 100 further trials, and over two whole teeth
 * or until the power would bear two right answers more (two wrong ones fewer); beyond, the teeth are smaller than the
 * growth of power.
 * Source: ISO 4120:2004 Table A.3, ISO 10399:2004 Table A.3 (the smallest); Schlich (1993), Food Quality and Preference
 * 4:141.
 *
 * @example
 * sampleSize({ chance: 1 / 3, pd: 0.5, alpha: 0.05, beta: 0.2 }).smallest
 * // { trials: 16, count: 9, power: 0.873499284649347 }
 */
export function sampleSize(input: SampleSizeInput): SampleSizeResult {
  options(input, fields);
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const beta = probability(input.beta ?? 0.05, 'beta');
  const alternative = choice(input.alternative ?? 'greater', 'alternative', alternatives);
  const truth = trueProportion(input);
  checkSide(truth, alternative);
  const sizes = sizesFor(truth.chance, alpha, alternative, truth.proportion, 1 - beta);
  if (sizes !== null) return sizes;
  const allowed = `a difference that ${largestSize} trials find with power 1 − beta`;
  throw new StatsError('unreachable', truth.field, 'is too near to chance', allowed, truth.given);
}

/** The two sizes without checks, `null` where so much power is out of reach. */
export function sizesFor(
  chance: number,
  alpha: number,
  alternative: Alternative,
  proportion: number,
  wanted: number,
): SampleSizeResult | null {
  const enough = wanted * rounding;
  const side = proportion > chance ? 'upper' : 'lower';
  const own = side === 'upper' ? proportion : 1 - proportion;
  const test = new GrowingTest(chance, alpha, alternative, proportion);
  let smallest = 0;
  let lastShort = 0;
  let held = 0;
  let raised = 0;
  for (; test.trials <= largestSize * 1.5; ) {
    const { trials } = test;
    if (test.power < enough) {
      lastShort = trials;
      held = 0;
      raised = 0;
      if (smallest === 0 && trials === largestSize) return null;
    } else {
      if (smallest === 0) smallest = trials;
      const far = trials >= Math.max(lastShort + 100, lastShort * 1.5);
      // A tooth rises while the count is held and falls when it is raised.
      const safe = () => (held > 1 && raised > 1) || binomialUpper(test.reach(side) + 2, trials, own) >= enough;
      if (far && safe()) {
        const sized = (n: number) => ({ trials: n, ...exactPower(n, chance, alpha, alternative, proportion) });
        return { smallest: sized(smallest), lasting: sized(lastShort + 1) };
      }
    }
    const before = test.reach(side);
    test.addTrial();
    if (test.reach(side) > before) raised++;
    else held++;
  }
  return null;
}

function checkSide({ chance, proportion, field, given }: TrueProportion, alternative: Alternative): void {
  const side = Math.sign(proportion - chance);
  const right = alternative === 'two-sided' ? side !== 0 : side === (alternative === 'greater' ? 1 : -1);
  if (right) return;
  const where = { greater: 'above', less: 'below', 'two-sided': 'off' }[alternative];
  const wrong = 'gives no difference that this alternative could find';
  throw new StatsError('inconsistent', field, wrong, `a probability ${where} chance`, given);
}
