import type { Alternative } from './check';
import { MovingTail } from './moving-tail';
import type { PowerResult } from './power';
import { RejectionRegion } from './rejection-region';

/**
 * The exact test of one trial, two, three and so on, with its power: each step a few operations, so that a whole curve
 * costs little more than one point. For trusted callers: checked inputs only.
 *
 * Accuracy: 1e-11 relative; a power far below 1e-3 on the side away from the truth only absolutely.
 */
export class GrowingTest {
  private readonly region: RejectionRegion;
  private readonly upper: MovingTail | null;
  private readonly lower: MovingTail | null;

  constructor(chance: number, alpha: number, alternative: Alternative, proportion: number) {
    this.region = new RejectionRegion(1, chance, alpha, alternative);
    const { upper, lower } = this.region;
    this.upper = upper && new MovingTail('upper', 1, upper.count, proportion);
    this.lower = lower && new MovingTail('lower', 1, lower.count, proportion);
  }

  get trials(): number {
    return this.region.trials;
  }

  get power(): number {
    return Math.max(0, Math.min(1, (this.upper?.beyond ?? 0) + (this.lower?.beyond ?? 0)));
  }

  get count(): number | null {
    return this.region.count;
  }

  get attainedAlpha(): number {
    return this.region.attained;
  }

  /** Right answers, or wrong ones in the lower tail, from which on the count is significant. */
  reach(side: 'upper' | 'lower'): number {
    return this.region[side]?.reach ?? Number.POSITIVE_INFINITY;
  }

  addTrial(): void {
    this.region.addTrial();
    this.upper?.addTrial();
    this.upper?.moveTo(this.region.upper?.reach ?? 0);
    this.lower?.addTrial();
    this.lower?.moveTo(this.region.lower?.reach ?? 0);
  }
}

/** Power for every number of trials from first to last, as `power` gives it for each. */
export function powerCurve(
  first: number,
  last: number,
  chance: number,
  alpha: number,
  alternative: Alternative,
  proportion: number,
): PowerResult[] {
  const curve: PowerResult[] = [];
  const test = new GrowingTest(chance, alpha, alternative, proportion);
  for (;;) {
    const { trials, power, count, attainedAlpha } = test;
    if (trials >= first) curve.push({ power, count, attainedAlpha });
    if (trials >= last) return curve;
    test.addTrial();
  }
}
