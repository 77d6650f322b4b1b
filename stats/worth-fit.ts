import { cholesky, solveCholesky } from './cholesky';
import type { ComparisonModel } from './comparison-model';
import { StatsError } from './errors';
import type { PairCounts } from './pair-counts';
import { logShares, type OutcomeSlopes, pairOutcome } from './pair-outcome';

const mostSteps = 100;
const settledStep = 1e-7;
/**
 * A whole step of Newton's rule that moves no parameter by more raises the likelihood for certain: then no log odds of one
 * outcome to another changes by more than M = 1.6, the curvature by no more than a factor e^M (as the third derivative of
 * a multinomial logit is at most M times the second), and (e^M − M − 1)/M² < 1.
 */
const sureStep = 0.5;

/**
 * Finds the parameters of greatest likelihood by Newton's rule over all of them at once: log worths (that of the last
 * item is 0), log γ of the order effect, log ν of ties. The likelihood is concave, so where the slope is zero is the
 * maximum; that there is one is the caller's to know (`requireEstimable`). Made for many fits of the same pairs: a fit
 * allocates nothing.
 */
export class WorthFit {
  /** Log worths, then log γ, then log ν; the latter 0 and −∞ where the model lacks them. */
  readonly theta: Float64Array;
  private readonly pairs: PairCounts;
  private model: ComparisonModel;
  /** Place of each parameter in the system of equations, −1 where it is fixed. */
  private readonly place: Int32Array;
  private unknowns = 0;
  private readonly slope: Float64Array;
  private readonly terms: Float64Array;
  private readonly curvature: Float64Array;
  private readonly before: Float64Array;
  private readonly shares = new Float64Array(3);
  private readonly at: OutcomeSlopes = {
    half: 0,
    tie: 0,
    halfTerms: 0,
    tieTerms: 0,
    halfHalf: 0,
    halfTie: 0,
    tieTie: 0,
  };

  constructor(pairs: PairCounts, model: ComparisonModel) {
    const size = pairs.items + 2;
    this.pairs = pairs;
    this.model = model;
    this.theta = new Float64Array(size);
    this.before = new Float64Array(size);
    this.place = new Int32Array(size);
    this.slope = new Float64Array(size);
    this.terms = new Float64Array(size);
    this.curvature = new Float64Array(size * size);
    this.assume(model);
  }

  private assume(model: ComparisonModel): void {
    const n = this.pairs.items;
    this.model = model;
    for (let i = 0; i < n - 1; i++) this.place[i] = i;
    this.place[n - 1] = -1;
    this.place[n] = model.order ? n - 1 : -1;
    this.place[n + 1] = model.tied ? n - 1 + Number(model.order) : -1;
    this.unknowns = n - 1 + Number(model.order) + Number(model.tied);
  }

  /**
   * Fits `counts` (as `PairCounts.add` gives them) and leaves the estimate in `theta`.
   *
   * @param start where to begin, by default with everything alike
   * @throws StatsError not-converged after 100 steps, or where the information is singular
   */
  fit(counts: Float64Array, model: ComparisonModel, start?: Float64Array): void {
    this.assume(model);
    const { theta } = this;
    if (start) theta.set(start);
    else theta.fill(0);
    const n = this.pairs.items;
    if (!model.tied) theta[n + 1] = Number.NEGATIVE_INFINITY;
    else if (!start || start[n + 1] === Number.NEGATIVE_INFINITY) theta[n + 1] = shareOfTies(counts);
    for (let step = 0; step < mostSteps; step++) {
      this.derive(counts, false);
      if (!cholesky(this.curvature, this.unknowns)) throw notConverged('the information is singular');
      solveCholesky(this.curvature, this.slope, this.unknowns);
      const moved = this.climb(counts);
      if (moved < settledStep) return;
    }
    throw notConverged(`${mostSteps} steps`);
  }

  /** Goes along the step that stands in `slope`, halved where the likelihood would fall; how far the farthest moved. */
  private climb(counts: Float64Array): number {
    const step = this.slope;
    let largest = 0;
    for (let u = 0; u < this.unknowns; u++) largest = Math.max(largest, Math.abs(step[u] as number));
    if (!Number.isFinite(largest)) throw notConverged('a step without end');
    this.before.set(this.theta);
    if (largest <= sureStep && this.model.link === 'logit') {
      this.move(1);
      return largest;
    }
    const likelihood = this.logLikelihood(counts);
    const slack = 1e-12 * Math.abs(likelihood);
    for (let scale = 1; scale > 1e-9; scale /= 2) {
      this.move(scale);
      if (this.logLikelihood(counts) >= likelihood - slack) return largest * scale;
    }
    throw notConverged('no step raised the likelihood');
  }

  private move(scale: number): void {
    for (let k = 0; k < this.theta.length; k++) {
      const u = this.place[k] as number;
      if (u >= 0) this.theta[k] = (this.before[k] as number) + scale * (this.slope[u] as number);
    }
  }

  /** Σ counts·log P, without coefficients. */
  private logLikelihood(counts: Float64Array): number {
    const { first, second } = this.pairs;
    const { theta, shares } = this;
    const gamma = theta[this.pairs.items] as number;
    const tie = (theta[this.pairs.items + 1] as number) - gamma / 2;
    let sum = 0;
    for (let k = 0; k < first.length; k++) {
      const half = ((theta[first[k] as number] as number) - (theta[second[k] as number] as number) - gamma) / 2;
      logShares(shares, this.model, half, tie);
      for (let c = 0; c < 3; c++) {
        const count = counts[3 * k + c] as number;
        if (count > 0) sum += count * (shares[c] as number);
      }
    }
    return sum;
  }

  /** Slope, the sizes of its terms, and curvature (lower triangle) at `theta`. */
  private derive(counts: Float64Array, expected: boolean): void {
    const { theta, slope, terms, curvature, place, at, unknowns } = this;
    const { first, second, items } = this.pairs;
    slope.fill(0);
    terms.fill(0);
    curvature.fill(0);
    const gamma = theta[items] as number;
    const tie = (theta[items + 1] as number) - gamma / 2;
    const g = place[items] as number;
    const t = place[items + 1] as number;
    for (let k = 0; k < first.length; k++) {
      const i = first[k] as number;
      const j = second[k] as number;
      const half = ((theta[i] as number) - (theta[j] as number) - gamma) / 2;
      const firstWins = counts[3 * k] as number;
      const secondWins = counts[3 * k + 1] as number;
      const ties = counts[3 * k + 2] as number;
      if (firstWins + secondWins + ties === 0) continue;
      pairOutcome(at, this.model, half, tie, firstWins, secondWins, ties, expected);
      // half = (λᵢ − λⱼ − log γ)/2, tie = log ν − (log γ)/2.
      const a = place[i] as number;
      const b = place[j] as number;
      const own = at.halfHalf / 4;
      if (a >= 0) this.addSlope(a, at.half / 2, at.halfTerms / 2);
      if (b >= 0) this.addSlope(b, -at.half / 2, at.halfTerms / 2);
      if (a >= 0) this.addCurvature(a, a, own);
      if (b >= 0) this.addCurvature(b, b, own);
      if (a >= 0 && b >= 0) this.addCurvature(a, b, -own);
      if (g >= 0) {
        this.addSlope(g, -(at.half + at.tie) / 2, (at.halfTerms + at.tieTerms) / 2);
        this.addCurvature(g, g, own + at.halfTie / 2 + at.tieTie / 4);
        if (a >= 0) this.addCurvature(g, a, -own - at.halfTie / 4);
        if (b >= 0) this.addCurvature(g, b, own + at.halfTie / 4);
      }
      if (t >= 0) {
        this.addSlope(t, at.tie, at.tieTerms);
        this.addCurvature(t, t, at.tieTie);
        if (a >= 0) this.addCurvature(t, a, at.halfTie / 2);
        if (b >= 0) this.addCurvature(t, b, -at.halfTie / 2);
        if (g >= 0) this.addCurvature(t, g, -(at.halfTie + at.tieTie) / 2);
      }
    }
    for (let row = 0; row < unknowns; row++) {
      for (let column = row + 1; column < unknowns; column++) {
        const upper = curvature[row * unknowns + column] as number;
        curvature[column * unknowns + row] = (curvature[column * unknowns + row] as number) + upper;
      }
    }
  }

  private addSlope(u: number, value: number, terms: number): void {
    this.slope[u] = (this.slope[u] as number) + value;
    this.terms[u] = (this.terms[u] as number) + terms;
  }

  /** Either triangle: both are added up in the end. */
  private addCurvature(row: number, column: number, value: number): void {
    const at = row * this.unknowns + column;
    this.curvature[at] = (this.curvature[at] as number) + value;
  }

  /**
   * Covariance of the parameters at the estimate, from the expected information, row by row in the order of `theta`; the
   * last item's worth, and what the model lacks, has none.
   *
   * @throws StatsError not-converged where the slope is no zero: where it is more than rounding of the terms it is made of
   */
  covariance(counts: Float64Array): Float64Array {
    this.derive(counts, true);
    const { slope, terms, unknowns, curvature, place } = this;
    for (let u = 0; u < unknowns; u++) {
      if (!(Math.abs(slope[u] as number) <= 1e-8 * (terms[u] as number))) throw notConverged('the slope is no zero');
    }
    if (!cholesky(curvature, unknowns)) throw notConverged('the information is singular');
    const size = place.length;
    const out = new Float64Array(size * size);
    const column = new Float64Array(unknowns);
    for (let k = 0; k < size; k++) {
      if ((place[k] as number) < 0) continue;
      column.fill(0);
      column[place[k] as number] = 1;
      solveCholesky(curvature, column, unknowns);
      for (let l = 0; l < size; l++)
        if ((place[l] as number) >= 0) out[l * size + k] = column[place[l] as number] as number;
    }
    return out;
  }
}

/** Log worths moved so that they sum to zero. */
export function centred(worths: Float64Array): Float64Array {
  const mean = worths.reduce((sum, worth) => sum + worth, 0) / worths.length;
  return worths.map((worth) => worth - mean);
}

/** log ν if all worths were alike: a tie weighs ν, a win either way 1. */
function shareOfTies(counts: Float64Array): number {
  let ties = 0;
  let wins = 0;
  for (let k = 0; k < counts.length; k += 3) {
    wins += (counts[k] as number) + (counts[k + 1] as number);
    ties += counts[k + 2] as number;
  }
  return Math.log((2 * ties) / wins);
}

const notConverged = (how: string) =>
  new StatsError('not-converged', 'comparisons', 'no estimate was reached', 'answers less far apart', how);
