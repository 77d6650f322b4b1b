import type { Alternative } from './check';
import { binomialCdf, binomialUpper, equallyProbable } from './distributions';
import { MovingTail } from './moving-tail';

/** A tail that equals alpha but for rounding counts as reached. */
const rounding = 1 + 1e-12;

/**
 * The significant counts of an exact binomial test: those of an upper tail, of a lower one, or of both. For trusted
 * callers: checked inputs only.
 *
 * One-sided, the tail is the longest whose probability under guessing is ≤ alpha. Two-sided, outcomes are taken in from
 * the least probable on, equally probable ones together, as long as all of them hold at most alpha: the counts whose
 * exact two-sided p is ≤ alpha. One trial more moves a tail by a count or two, so that a search over numbers of trials
 * takes a few operations a step.
 */
export class RejectionRegion {
  readonly upper: MovingTail | null;
  readonly lower: MovingTail | null;
  private readonly limit: number;

  constructor(
    public trials: number,
    private readonly chance: number,
    alpha: number,
    alternative: Alternative,
  ) {
    this.limit = alpha * rounding;
    const each = alternative === 'two-sided' ? alpha / 2 : alpha;
    this.upper = alternative === 'less' ? null : outside('upper', trials, chance, each);
    this.lower = alternative === 'greater' ? null : outside('lower', trials, chance, each);
    this.settle();
  }

  /** The count to report: the fewest right answers that are significant, with `less` the most; `null` where none is. */
  get count(): number | null {
    const tail = this.upper ?? this.lower;
    return tail === null || tail.reach > this.trials ? null : tail.count;
  }

  /** Probability of a significant count under guessing. */
  get attained(): number {
    return (this.upper?.beyond ?? 0) + (this.lower?.beyond ?? 0);
  }

  /** Probability of a significant count where an answer is right with probability `share`. */
  probability(share: number): number {
    const above = this.upper === null ? 0 : binomialUpper(this.upper.count, this.trials, share);
    const below = this.lower === null ? 0 : binomialCdf(this.lower.count, this.trials, share);
    return Math.min(1, above + below);
  }

  /** The region of one trial more. */
  addTrial(): void {
    this.trials++;
    this.upper?.addTrial();
    this.lower?.addTrial();
    this.settle();
  }

  private settle(): void {
    const { upper, lower } = this;
    if (upper !== null && lower !== null) this.settleBoth(upper, lower);
    else if (upper !== null) this.settleOne(upper);
    else if (lower !== null) this.settleOne(lower);
  }

  private settleOne(tail: MovingTail): void {
    while (tail.beyond > this.limit) tail.outward();
    while (tail.reach > 1 && tail.beyond + tail.next <= this.limit) tail.inward();
  }

  private settleBoth(upper: MovingTail, lower: MovingTail): void {
    // Either tail ends where its outcomes stop growing rarer outwards.
    const mean = this.trials * this.chance;
    const upperEnd = Math.floor(mean) + 1;
    const lowerEnd = this.trials - Math.ceil(mean) + 1;
    while (upper.reach < upperEnd) upper.outward();
    while (lower.reach < lowerEnd) lower.outward();
    // What is in must be no more probable than what is out, then no more than alpha in all.
    while (upper.at > lower.next * equallyProbable) upper.outward();
    while (lower.at > upper.next * equallyProbable) lower.outward();
    while (this.attained > this.limit) {
      const [above, below] = [upper.at, lower.at];
      if (above * equallyProbable >= below) upper.outward();
      if (below * equallyProbable >= above) lower.outward();
    }
    for (;;) {
      const above = upper.reach > upperEnd ? upper.next : Number.POSITIVE_INFINITY;
      const below = lower.reach > lowerEnd ? lower.next : Number.POSITIVE_INFINITY;
      const takeAbove = above <= below * equallyProbable;
      const takeBelow = below <= above * equallyProbable;
      const more = (takeAbove ? above : 0) + (takeBelow ? below : 0);
      if (this.attained + more > this.limit) break;
      if (takeAbove) upper.inward();
      if (takeBelow) lower.inward();
    }
  }
}

/** A tail that begins near where it should, rather too far out: moving inwards only adds, so nothing cancels. */
function outside(side: 'upper' | 'lower', trials: number, chance: number, alpha: number): MovingTail {
  const own = side === 'upper' ? chance : 1 - chance;
  const spread = Math.sqrt(trials * own * (1 - own));
  const z = roughQuantile(alpha);
  const guess = trials * own + z * spread + ((z * z - 1) * (1 - 2 * own)) / 6;
  let reach = Math.min(trials + 1, Math.max(1, Math.ceil(guess) + 1));
  const tail = new MovingTail(side, trials, side === 'upper' ? reach : trials - reach, chance);
  while (tail.beyond > 4 * alpha && reach <= trials) {
    reach = Math.min(trials + 1, reach + Math.ceil(spread / 4) + 1);
    tail.jumpTo(reach);
  }
  return tail;
}

/** z with P(Z ≥ z) ≈ p, to 5e-4 (Abramowitz & Stegun 1964, 26.2.23): enough for where to begin. */
function roughQuantile(p: number): number {
  const t = Math.sqrt(-2 * Math.log(Math.min(p, 1 - p)));
  const z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  return p <= 0.5 ? z : -z;
}
