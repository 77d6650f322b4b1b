/**
 * The probabilities of a right answer that a beta(a, b) mixture has not spoken against with evidence of `bound` (a natural
 * logarithm above 0), after each answer and after all so far. For trusted callers: a and b above 0, answers 0 or 1.
 *
 * Against p the evidence is ln of the mixture's probability of the answers − right·ln p − wrong·ln(1 − p): convex in p and
 * at most 0 at the share of right answers, so the probabilities left are an interval around it.
 *
 * Accuracy: 1e-12 relative, of lower limits and of 1 − upper limits, up to 100,000 answers.
 * Source: Robbins (1970), Annals of Mathematical Statistics 41:1397–1409.
 */
export class ConfidenceSequence {
  right = 0;
  wrong = 0;
  /** The largest lower and the smallest upper limit so far; they cross where no probability is left. */
  runningLower = 0;
  runningUpper = 1;
  /** ln of how probable the answers in their order are under the mixture, and what rounding took from it. */
  private mixture = 0;
  private lost = 0;

  constructor(
    private readonly a: number,
    private readonly b: number,
    private readonly bound: number,
  ) {}

  add(answer: number): void {
    const { right, wrong, a, b } = this;
    // How probable the answer was to whoever holds the prior and has seen the answers before.
    const expected = (answer === 1 ? a + right : b + wrong) / (a + b + right + wrong);
    // Compensated, after Kahan (1965), Communications of the ACM 8(1):40: a hundred thousand roundings don't add up.
    const term = Math.log(expected) - this.lost;
    const sum = this.mixture + term;
    this.lost = sum - this.mixture - term;
    this.mixture = sum;
    if (answer === 1) this.right++;
    else this.wrong++;
    const share = this.right / (this.right + this.wrong);
    // Most answers leave the running limits where they are, so that no equation need be solved.
    if (this.runningLower < share && this.against(this.runningLower) >= this.bound) this.runningLower = this.lower;
    if (this.runningUpper > share && this.against(this.runningUpper) >= this.bound) this.runningUpper = this.upper;
  }

  /** The log evidence of the mixture against p, two-sided. */
  against(p: number): number {
    // None of a kind says nothing, also where its probability is 0.
    const right = this.right === 0 ? 0 : this.right * Math.log(p);
    const wrong = this.wrong === 0 ? 0 : this.wrong * Math.log1p(-p);
    return this.mixture - right - wrong;
  }

  /** The smallest probability left by the evidence of all answers so far. */
  get lower(): number {
    return this.right === 0 ? 0 : 1 / (1 + Math.exp(-this.logOdds(this.right, this.wrong)));
  }

  /** The largest. */
  get upper(): number {
    return this.wrong === 0 ? 1 : 1 / (1 + Math.exp(this.logOdds(this.wrong, this.right)));
  }

  /**
   * The log odds, left of the likeliest, at which so many ones and zeros are so improbable that the mixture's lead is the
   * bound, by Newton's rule. Their log likelihood is concave in the log odds and below ones·logit, so that from
   * height/ones, which is left of the root, no step can overshoot.
   */
  private logOdds(ones: number, zeros: number): number {
    const height = this.mixture - this.bound;
    let logit = height / ones;
    for (let round = 0; round < 200; round++) {
      const share = 1 / (1 + Math.exp(-logit));
      const rest = 1 / (1 + Math.exp(logit));
      const likelihood = -ones * softplus(-logit) - zeros * softplus(logit);
      const step = (height - likelihood) / (ones * rest - zeros * share);
      // Steps lead to the right until nothing but rounding is left.
      if (!(step > 0)) break;
      logit += step;
      if (step < 1e-15 * Math.abs(logit)) break;
    }
    return logit;
  }
}

/** ln(1 + eˣ), where eˣ may be more than a double holds. */
const softplus = (x: number) => Math.max(x, 0) + Math.log1p(Math.exp(-Math.abs(x)));
