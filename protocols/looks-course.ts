import { rounding } from './looks';
import { type Asked, type LookedPlan, ratioOf } from './looks-ratio';

/** What a plan with looks comes to, looked at after each answer. */
export interface LooksCourse {
  /** Probability that the effect is shown, and that the test ends without it, by the last answer. */
  shown: number;
  noneShown: number;
  /** How many answers are counted on average, until it is decided or the answers end. */
  expected: number;
}

/** More answers take long to reckon with, and change next to nothing: what is told is then of so many. */
export const mostReckoned = 2_000;

/** What is less likely than this is left out of the sums. */
const negligible = 1e-18;

/**
 * How a plan with looks ends, exactly: the probabilities of all counts of answers that have met no bound yet, carried on
 * answer by answer. Assumes that every answer is for the effect with one probability, whatever came before.
 * @param asked what is asked of the answers
 * @param answers how many there are at most
 * @param truth probability of an answer for the effect
 *
 * Accuracy: 1e-12. Source: the definition; Armitage, McPherson & Rowe (1969), Journal of the Royal Statistical Society A
 * 132:235–244, reckon the same way (from memory).
 */
export function looksCourse(asked: Asked, plan: LookedPlan, answers: number, truth: number): LooksCourse {
  const { log, upper, lower } = ratioOf(asked, plan);
  const most = Math.min(answers, mostReckoned);
  let going = Float64Array.of(1);
  let [shown, noneShown, expected] = [0, 0, 0];
  for (let count = 1; count <= most; count++) {
    const next = new Float64Array(count + 1);
    for (let ones = 0; ones < count; ones++) {
      const mass = going[ones] as number;
      expected += mass;
      next[ones] = (next[ones] as number) + mass * (1 - truth);
      next[ones + 1] = (next[ones + 1] as number) + mass * truth;
    }
    for (let ones = 0; ones <= count; ones++) {
      const mass = next[ones] as number;
      if (mass < negligible) {
        next[ones] = 0;
        continue;
      }
      const ratio = log(ones, count - ones);
      if (ratio >= upper - rounding) shown += mass;
      else if (lower !== null && ratio <= lower + rounding) noneShown += mass;
      else continue;
      next[ones] = 0;
    }
    going = next;
  }
  return { shown, noneShown, expected };
}
