import { cholesky, solveCholesky } from './cholesky';
import type { ComparisonModel } from './comparison-model';
import { StatsError } from './errors';
import type { PairCounts } from './pair-counts';
import { logShares, type OutcomeSlopes, pairOutcome } from './pair-outcome';

const mostSteps = 500;
const settledStep = 1e-7;
/**
 * A whole step of Newton's rule that moves no parameter by more raises the likelihood for certain: then no log odds of one
 * outcome to another changes by more than M = 1.6, the curvature by no more than a factor e^M (as the third derivative of
 * a multinomial logit is at most M times the second), and (e^M − M − 1)/M² < 1.
 */
const sureStep = 0.5;
/** Of the rise that the slope promises a quadratic likelihood keeps a half; a longer step must keep this much. */
const sufficientRise = 0.05;
/** Steps after which one that could go on uphill is stretched: where one outcome is hardly ever seen, Newton's are all 1. */
const plainSteps = 12;
/** Fourfold each, from the smallest that tells anything: enough for where all is flat but for the slope. */
const dampings = 200;

/**
 * Finds the parameters of greatest likelihood by Newton's rule over all of them at once: log worths (that of the last
 * item is 0), log γ of the order effect, log ν of ties. The likelihood is concave, so where the slope is zero is the
 * maximum; that there is one is the caller's to know (`requireEstimable`). A step that doesn't rise enough is damped
 * (Levenberg 1944, Quarterly of Applied Mathematics 2:164–168), so that a direction in which the likelihood is almost flat
 * doesn't carry the others away. Made for many fits of the same pairs: a fit allocates nothing.
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
  private readonly step: Float64Array;
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
    this.step = new Float64Array(size);
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
   * @throws StatsError not-converged after 500 steps, or where no step rises: where the counts are too far apart for double precision
   */
  fit(counts: Float64Array, model: ComparisonModel, start?: Float64Array): void {
    this.assume(model);
    const { theta } = this;
    if (start) theta.set(start);
    else theta.fill(0);
    const n = this.pairs.items;
    if (!model.tied) theta[n + 1] = Number.NEGATIVE_INFINITY;
    else if (!start || start[n + 1] === Number.NEGATIVE_INFINITY) theta[n + 1] = shareOfTies(counts);
    let damping = 0;
    this.derive(counts, false);
    for (let step = 0; step < mostSteps; step++) {
      if (this.solve()) {
        const moved = largestOf(this.step, this.unknowns);
        if (moved < settledStep) {
          this.move(1);
          return;
        }
        if (this.climb(counts, moved, step > plainSteps)) continue;
      }
      damping = this.dampedClimb(counts, damping);
    }
    throw notConverged(`${mostSteps} steps`);
  }

  /** Newton's step from `theta`, of the slope and the curvature there, into `step`; false where there is none uphill. */
  private solve(): boolean {
    const { step, unknowns } = this;
    this.before.set(this.theta);
    if (!cholesky(this.curvature, unknowns)) return false;
    step.set(this.slope);
    solveCholesky(this.curvature, step, unknowns);
    const rise = this.along();
    return rise >= 0 && Number.isFinite(rise) && Number.isFinite(largestOf(step, unknowns));
  }

  /** Slope of the likelihood along `step`. */
  private along(): number {
    let sum = 0;
    for (let u = 0; u < this.unknowns; u++) sum += (this.slope[u] as number) * (this.step[u] as number);
    return sum;
  }

  /**
   * Goes along `step` if that raises the likelihood enough, and derives it there; else stays. Where the likelihood, being
   * concave, still rises at the end of the step, it did all the way: slopes keep digits that sums of logs have lost.
   */
  private climb(counts: Float64Array, moved: number, stretched: boolean): boolean {
    const promised = this.along();
    this.move(1);
    this.derive(counts, false);
    const left = this.along();
    if (stretched && left > 0) this.stretch(counts);
    if (left >= 0 || (moved <= sureStep && this.model.link === 'logit')) return true;
    const there = this.logLikelihood(counts);
    this.theta.set(this.before);
    const here = this.logLikelihood(counts);
    if (!(there - here >= sufficientRise * promised - 1e-12 * Math.abs(here))) return false;
    this.move(1);
    return true;
  }

  /** Doubles a step as long as the likelihood still rises at its end. */
  private stretch(counts: Float64Array): void {
    for (let scale = 2; scale < 1e6; scale *= 2) {
      this.move(scale);
      this.derive(counts, false);
      if (this.along() >= 0) continue;
      this.move(scale / 2);
      this.derive(counts, false);
      return;
    }
  }

  /** Adds to the diagonal of the curvature until a step rises enough; returns what was added, to begin with the next time. */
  private dampedClimb(counts: Float64Array, last: number): number {
    const { step, curvature, unknowns } = this;
    let damping = last / 16;
    for (let k = 0; k < dampings; k++) {
      this.theta.set(this.before);
      this.derive(counts, false);
      // Steps are in log units, the same for all parameters: so is what shortens them.
      if (damping === 0) damping = 1e-15 * largestDiagonal(curvature, unknowns);
      for (let u = 0; u < unknowns; u++)
        curvature[u * unknowns + u] = (curvature[u * unknowns + u] as number) + damping;
      if (this.solve() && this.climb(counts, largestOf(step, unknowns), false)) return damping;
      damping *= 4;
    }
    throw notConverged('no step raised the likelihood');
  }

  private move(scale: number): void {
    for (let k = 0; k < this.theta.length; k++) {
      const u = this.place[k] as number;
      if (u >= 0) this.theta[k] = (this.before[k] as number) + scale * (this.step[u] as number);
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

function largestOf(step: Float64Array, unknowns: number): number {
  let largest = 0;
  for (let u = 0; u < unknowns; u++) largest = Math.max(largest, Math.abs(step[u] as number));
  return largest;
}

function largestDiagonal(matrix: Float64Array, n: number): number {
  let largest = 0;
  for (let u = 0; u < n; u++) largest = Math.max(largest, matrix[u * n + u] as number);
  return largest;
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
