import { rounding } from './looks';
import { type Asked, type LookedPlan, type Ratio, ratioOf } from './looks-ratio';
import type { LooksDetail } from './results';

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
  const most = Math.min(answers, mostReckoned);
  const bounds = new Bounds(ratioOf(asked, plan));
  let going = Float64Array.of(1);
  let [shown, noneShown, expected] = [0, 0, 0];
  for (let count = 1; count <= most; count++) {
    const next = new Float64Array(count + 1);
    going.forEach((mass, ones) => {
      if (mass < negligible) return;
      expected += mass;
      next[ones] = (next[ones] as number) + mass * (1 - truth);
      next[ones + 1] = (next[ones + 1] as number) + mass * truth;
    });
    bounds.addAnswer();
    next.forEach((mass, ones) => {
      if (mass === 0) return;
      const ended = bounds.at(ones);
      if (ended === 'shown') shown += mass;
      if (ended === 'none-shown') noneShown += mass;
      if (ended !== 'go-on') next[ones] = 0;
    });
    going = next;
  }
  return { shown, noneShown, expected };
}

/**
 * The counts at which a plan stops, after one answer more each time. The ratio grows with answers for the effect and
 * falls with those against it, so that each bound moves by one count or stays.
 */
class Bounds {
  private count = 0;
  /** So many answers for the effect, or more, show it; with two sides so many for either. */
  private shownFrom = 1;
  /** Up to so many end the test without it; with two sides so many for either at most. */
  private endedTo = -1;

  constructor(private readonly ratio: Ratio) {}

  addAnswer(): void {
    const { log, upper, lower, symmetric } = this.ratio;
    this.count++;
    const at = (ones: number): number => log(ones, this.count - ones);
    while (this.shownFrom <= this.count && at(this.shownFrom) < upper - rounding) this.shownFrom++;
    if (lower === null) return;
    if (symmetric) this.endedTo = Math.max(this.endedTo, Math.ceil(this.count / 2) - 1);
    while (this.endedTo < this.count && at(this.endedTo + 1) <= lower + rounding) this.endedTo++;
  }

  at(ones: number): LooksDetail['state'] {
    const most = this.ratio.symmetric ? Math.max(ones, this.count - ones) : ones;
    if (most >= this.shownFrom) return 'shown';
    return most <= this.endedTo ? 'none-shown' : 'go-on';
  }
}
