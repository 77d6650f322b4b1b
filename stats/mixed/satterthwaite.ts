import { StatsError } from '../errors';
import { symmetricEigen } from '../symmetric-eigen';
import { dot } from './minimise';
import { type MixedFit, scaleOf } from './mixed-fit';
import type { ProfiledDeviance } from './profiled-deviance';
import { slopeOf } from './slope-of';

/** A linear combination of the fixed coefficients, with what a t test of it needs. */
export interface Combination {
  estimate: number;
  standardError: number;
  degreesOfFreedom: number;
}

/**
 * Degrees of freedom after Satterthwaite: those of the χ² that has the mean and the variance of the estimated variance of a
 * combination, 2·f²/(gᵀAg), f that variance, g its gradient by the parameters and A their covariance, twice the inverse
 * of the deviance's second derivative. Parameters of a variance at zero are left out, as if their term were.
 *
 * Source: Satterthwaite (1946), Biometrics Bulletin 2:110–114; for mixed models Giesbrecht & Burns (1985), Biometrics
 * 41:477–486; several degrees of freedom at once: Fai & Cornelius (1996), Journal of Statistical Computation and Simulation
 * 54:363–378.
 */
export class Satterthwaite {
  private readonly coefficients: Float64Array;
  private readonly covariance: Float64Array;
  /** Of `covariance` by each active parameter. */
  private readonly slopes: Float64Array[];
  private readonly inverse: Float64Array;
  private readonly n: number;

  /** @param takenOff coefficients of what the response was freed of before the fit */
  constructor(
    deviance: ProfiledDeviance,
    private readonly fit: MixedFit,
    takenOff: Float64Array,
  ) {
    const { theta, active, curvature } = fit;
    deviance.at(theta);
    this.coefficients = deviance.coefficients().map((value, k) => value + (takenOff[k] as number));
    this.covariance = deviance.covariance();
    this.n = this.coefficients.length;
    this.slopes = active.map((k) => {
      return slopeOf(1e-3 * scaleOf(deviance, theta, k), (by) => {
        const point = theta.slice();
        point[k] = (point[k] as number) + by;
        deviance.at(point);
        return deviance.covariance();
      });
    });
    deviance.at(theta);
    this.inverse = inverseOf(curvature, active.length + 1);
  }

  /** @param weights of the fitted coefficients */
  of(weights: Float64Array): Combination {
    const { fit, n } = this;
    const share = quadratic(weights, this.covariance, n);
    const variance = fit.residualVariance * share;
    const gradient = [...this.slopes.map((slope) => fit.residualVariance * quadratic(weights, slope, n)), 2 * variance];
    const spread = quadratic(Float64Array.from(gradient), this.inverse, gradient.length);
    let estimate = 0;
    for (let i = 0; i < n; i++) estimate += (weights[i] as number) * (this.coefficients[i] as number);
    return { estimate, standardError: Math.sqrt(variance), degreesOfFreedom: variance ** 2 / spread };
  }

  /**
   * F of several combinations at once: they are turned into as many that are uncorrelated, each with degrees of freedom of
   * its own, and F gets those that its mean would have.
   */
  together(combinations: readonly Float64Array[]): { f: number; numerator: number; denominator: number } {
    const q = combinations.length;
    const { n, fit } = this;
    const joint = new Float64Array(q * q);
    combinations.forEach((one, i) => {
      const row = timesMatrix(one, this.covariance, n);
      combinations.forEach((other, j) => {
        joint[i * q + j] = fit.residualVariance * dot(row, other);
      });
    });
    const { values, vectors } = symmetricEigen(joint, q);
    let sum = 0;
    const own = Array.from(values, (value, k) => {
      const weights = new Float64Array(n);
      combinations.forEach((one, i) => {
        for (let a = 0; a < n; a++) {
          weights[a] = (weights[a] as number) + (vectors[k * q + i] as number) * (one[a] as number);
        }
      });
      const { estimate, degreesOfFreedom } = this.of(weights);
      sum += estimate ** 2 / value;
      return degreesOfFreedom;
    });
    return { f: sum / q, numerator: q, denominator: pooled(own) };
  }
}

/** From E(t²) = ν/(ν − 2) of each; where one has two degrees of freedom or fewer there is no such mean, and two are left. */
function pooled(own: readonly number[]): number {
  const first = own[0] as number;
  if (own.every((one) => Math.abs(one - first) <= 1e-8 * first)) return first;
  if (own.some((one) => one <= 2)) return 2;
  const beyond = own.reduce((sum, one) => sum + 2 / (one - 2), 0);
  return (2 * (own.length + beyond)) / beyond;
}

/** wᵀMw. Most weights are 0: a comparison of two levels touches two columns. */
function quadratic(weights: Float64Array, matrix: Float64Array, n: number): number {
  const touched: number[] = [];
  for (let j = 0; j < n; j++) if (weights[j] !== 0) touched.push(j);
  let sum = 0;
  for (const i of touched) {
    let row = 0;
    for (const j of touched) row += (matrix[i * n + j] as number) * (weights[j] as number);
    sum += (weights[i] as number) * row;
  }
  return sum;
}

function timesMatrix(weights: Float64Array, matrix: Float64Array, n: number): Float64Array {
  const out = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const weight = weights[i] as number;
    if (weight === 0) continue;
    for (let j = 0; j < n; j++) out[j] = (out[j] as number) + weight * (matrix[i * n + j] as number);
  }
  return out;
}

/** Of a positive definite matrix, scaled to ones on its diagonal first. */
function inverseOf(matrix: Float64Array, n: number): Float64Array {
  const scale = Float64Array.from({ length: n }, (_, i) => 1 / Math.sqrt(matrix[i * n + i] as number));
  const weighted = (entries: Float64Array) =>
    entries.map((entry, at) => entry * (scale[Math.floor(at / n)] as number) * (scale[at % n] as number));
  const { values, vectors } = symmetricEigen(weighted(matrix), n);
  if (values.some((value) => !(value > 1e-10))) {
    const wrong = 'the likelihood doesn’t bend down every way at its top';
    throw new StatsError('not-converged', 'random', wrong, 'curvature above 0', values[n - 1]);
  }
  const inverse = new Float64Array(n * n);
  for (let k = 0; k < n; k++) {
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        const product = (vectors[k * n + i] as number) * (vectors[k * n + j] as number);
        inverse[i * n + j] = (inverse[i * n + j] as number) + product / (values[k] as number);
      }
    }
  }
  return weighted(inverse);
}
