import { binomialCdfFrom, binomialPmf, binomialUpperFrom } from './distributions';

/** Below this a probability is computed afresh after each step: products of denormal numbers have lost their digits. */
const tiny = 1e-290;
/** After so many added trials the tail is added up afresh, so that rounding can't build up. */
const fresh = 64;

/**
 * One tail of a binomial, which can be moved by one count or lengthened by one trial in a few operations: what a search
 * over counts or over numbers of trials goes by. For trusted callers: checked inputs only.
 *
 * Source: the ratio of neighbouring outcomes, and P(n + 1 trials give ≥ k) = P(n give ≥ k) + P(n give k − 1)·chance, both
 * from the definition.
 */
export class MovingTail {
  /** P(X = count). */
  at = 0;
  /** P(X at count or farther out). */
  beyond = 0;
  /** Right answers in the upper tail, wrong ones in the lower: the more, the farther out; trials + 1 for none at all. */
  reach: number;
  private readonly own: number;
  private readonly other: number;

  constructor(
    private readonly side: 'upper' | 'lower',
    public trials: number,
    count: number,
    private readonly chance: number,
  ) {
    this.own = side === 'upper' ? chance : 1 - chance;
    this.other = side === 'upper' ? 1 - chance : chance;
    this.reach = side === 'upper' ? count : trials - count;
    this.measure();
  }

  /** The count nearest to the middle that belongs to the tail; trials + 1 or −1 where none does. */
  get count(): number {
    return this.side === 'upper' ? this.reach : this.trials - this.reach;
  }

  /** The probability of the next count towards the middle. */
  get next(): number {
    if (this.at < tiny) return this.probability(this.reach - 1);
    return (this.at * this.reach * this.other) / ((this.trials - this.reach + 1) * this.own);
  }

  /** Takes in the next count towards the middle. */
  inward(): void {
    const next = this.next;
    this.reach--;
    this.at = next;
    this.beyond += next;
    if (next < tiny) this.measure();
  }

  /** Gives up its count nearest to the middle. */
  outward(): void {
    const { at, reach, trials } = this;
    const rest = this.beyond - at;
    this.reach++;
    // Where the count held nearly all of the tail, the difference has lost its digits.
    if (at < tiny || rest < at / 8 || reach >= trials) this.measure();
    else {
      this.at = (at * (trials - reach) * this.own) / ((reach + 1) * this.other);
      this.beyond = rest;
    }
  }

  /** The same reach, right or wrong answers, out of one trial more. */
  addTrial(): void {
    const { at, reach } = this;
    this.trials++;
    if (reach === this.trials) {
      // None were enough; now all would be.
      this.measure();
    } else if (at < tiny || this.trials % fresh === 0) this.measure();
    else {
      const scale = this.other / (this.trials - reach);
      this.beyond += at * reach * scale;
      this.at = at * this.trials * scale;
    }
  }

  moveTo(reach: number): void {
    while (this.reach > reach) this.inward();
    while (this.reach < reach) this.outward();
  }

  /** Jumps: the tail is added up afresh. */
  jumpTo(reach: number): void {
    this.reach = reach;
    this.measure();
  }

  private measure(): void {
    const { count, trials, chance } = this;
    this.at = this.probability(this.reach);
    if (this.reach > trials) this.beyond = 0;
    else if (this.reach <= 0) this.beyond = 1;
    else this.beyond = (this.side === 'upper' ? binomialUpperFrom : binomialCdfFrom)(this.at, count, trials, chance);
  }

  private probability(reach: number): number {
    return binomialPmf(this.side === 'upper' ? reach : this.trials - reach, this.trials, this.chance);
  }
}
