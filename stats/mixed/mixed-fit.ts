import { StatsError } from '../errors';
import { symmetricEigen } from '../symmetric-eigen';
import { activeOf, atZero, turnedOver } from './covariance-factor';
import { dot, type Minimum, minimise } from './minimise';
import type { ProfiledDeviance } from './profiled-deviance';
import { slopeOf } from './slope-of';

/** A fit at the top of the likelihood. */
export interface MixedFit {
  theta: Float64Array;
  /** Deviance there. */
  value: number;
  residualVariance: number;
  /** Parameters that bear on anything: those of columns of Λ that are not zero. */
  active: number[];
  /** Second derivative of the deviance by the active parameters and, last, the log of the residual standard deviation. */
  curvature: Float64Array;
  /** Whether a variance came out at zero, or a correlation at −1 or 1. */
  singular: boolean;
}

/** What is left to win, in deviance, when the fit is called converged. */
const converged = 1e-9;
/** A deviance that changes by less than this when a parameter moves by its own size doesn't hang on it. */
const flat = 1e-5;
/** A residual variance this small beside that of the response is little but rounding. */
const nothing = 1e-13;

/**
 * Finds the covariance factor of greatest likelihood.
 *
 * The likelihood of few rows may have several tops, one of them often at a variance of zero, so that the search starts
 * from every low point of a coarse grid. It goes downhill, puts variances at zero that are only not zero by the length of
 * the last step, ends with Newton's rule, and checks the second derivative: where it bends down, or looks flat because a
 * variance is nearly zero, the search goes on; where it is flat, the data don't tell the parameters apart, and that is an
 * error that names the groups.
 *
 * @throws StatsError not-identified, not-converged, no-variation
 */
export function fitMixed(deviance: ProfiledDeviance): MixedFit {
  const fits = startsOf(deviance).map((start) => downhill(deviance, start));
  const best = fits.reduce((a, b) => (b.value < a.value - 1e-9 ? b : a));
  const fit = settled(deviance, best);
  deviance.at(fit.theta);
  return fit;
}

/** Beyond so many rows the likelihood has one top in all that we met, and one start is enough. */
const fewRows = 1_000;
const gridSizes = [0, 0.5, 1.5, 5];

/** Low points of a grid over the sizes of the blocks' factors: the lowest, and with few rows up to three more. */
function startsOf(deviance: ProfiledDeviance): Float64Array[] {
  const blocks = deviance.data.blocks.length;
  const few = deviance.data.rows <= fewRows;
  const sized = (sizes: readonly number[]) =>
    Float64Array.from(deviance.places, ({ block, row, column }) => (row === column ? (sizes[block] as number) : 0));
  if (blocks === 0) return [new Float64Array(0)];
  const steps = blocks <= 3 ? gridSizes : blocks <= 5 && few ? [0, 0.7, 3] : [1];
  const points = Array.from({ length: steps.length ** blocks }, (_, k) =>
    Array.from({ length: blocks }, (__, block) => Math.floor(k / steps.length ** block) % steps.length),
  );
  const values = points.map((point) => deviance.at(sized(point.map((step) => steps[step] as number))));
  const lowest = points
    .map((point, k) => ({ point, value: values[k] as number }))
    .filter(({ point, value }, k) =>
      point.every((step, block) =>
        [-1, 1].every((by) => {
          const inside = step + by >= 0 && step + by < steps.length;
          return !inside || value <= (values[k + by * steps.length ** block] as number);
        }),
      ),
    )
    .sort((a, b) => a.value - b.value)
    .slice(0, few ? 4 : 1);
  // At zero the slope is zero whether or not that is the bottom; a little beside it the search finds out.
  return lowest.map(({ point }) => sized(point.map((step) => (steps[step] as number) || 0.15)));
}

function downhill(deviance: ProfiledDeviance, start: Float64Array): Minimum {
  const reached = minimise(deviance, start, converged);
  requireResidual(deviance, deviance.at(reached.point));
  return reached;
}

/**
 * The response is scaled to a variance of 1, so that what is left of it can be told from rounding; where rounding took it
 * below zero there is no deviance at all.
 */
function requireResidual(deviance: ProfiledDeviance, value: number): void {
  if (Number.isFinite(value) && deviance.residual() / deviance.freedom > nothing) return;
  const wrong = 'is told exactly by the fixed terms and the groups, so that no residual is left';
  throw new StatsError('no-variation', 'response', wrong, 'a response that varies within the groups', 'residual 0');
}

const mostRounds = 20;

function settled(deviance: ProfiledDeviance, from: Minimum): MixedFit {
  let reached = from;
  for (let round = 0; round < mostRounds; round++) {
    const theta = atZero(deviance, reached);
    const lower = lowerBeside(deviance, theta);
    if (lower !== null) {
      reached = lower;
      continue;
    }
    const active = activeOf(deviance, theta);
    const { curvature, profile } = curvatures(deviance, theta, active);
    const scale = active.map((k) => scaleOf(deviance, theta, k));
    const scaled = profile.map(
      (entry, at) => entry * (scale[Math.floor(at / active.length)] as number) * (scale[at % active.length] as number),
    );
    const { values, vectors } = symmetricEigen(scaled, active.length);
    const least = active.length - 1;
    const along = vectors.subarray(least * active.length);
    if (active.length > 0 && (values[least] as number) < flat) {
      const value = deviance.at(theta);
      const away = awayFrom(deviance, theta, active, scale, along);
      if (!(away.value < value - 1e-8)) throw notTold(deviance, active, along);
      reached = away;
      continue;
    }
    const polished = newton(deviance, theta, active, scale, (own) => newtonStep(own, values, vectors));
    if (polished.left < converged) {
      const { point, value } = polished;
      // A second derivative from a little way off would cost degrees of freedom their last digits.
      const there = polished.first > 1e-14 ? curvatures(deviance, point, active).curvature : curvature;
      requireResidual(deviance, deviance.at(point));
      const residualVariance = deviance.residual() / deviance.freedom;
      return {
        theta: point,
        value,
        residualVariance,
        active,
        curvature: there,
        singular: active.length < point.length,
      };
    }
    reached = minimise(deviance, polished.point, converged / 100);
  }
  const wrong = 'no covariance of greatest likelihood was reached';
  throw new StatsError('not-converged', 'random', wrong, `${mostRounds} rounds`, deviance.parameters);
}

/**
 * What slopes alone don't show. Where the first effects of a level don't vary, the same covariance can be written with the
 * others' spread in the first columns, and from there the likelihood may rise; and where it rises on and on with the
 * groups' variances, the residual is on its way to zero.
 * @returns a lower point to go on from, or null
 */
function lowerBeside(deviance: ProfiledDeviance, theta: Float64Array): Minimum | null {
  const value = deviance.at(theta);
  const turned = turnedOver(deviance, theta);
  if (turned !== null) {
    const beside = minimise(deviance, turned, converged);
    if (beside.value < value - 1e-8) return beside;
  }
  const largest = Math.max(0, ...theta.map(Math.abs));
  if (largest < 30) return null;
  for (const times of [4, 30, 1_000]) {
    const point = theta.map((one) => (Math.abs(one) > largest / 30 ? times * one : one));
    if (deviance.at(point) < value - 1e-6) return downhill(deviance, point);
  }
  return null;
}

/** How far a parameter moves before the function looks different: its own size, or what a level's rows can tell. */
export function scaleOf({ data, places }: ProfiledDeviance, theta: Float64Array, k: number): number {
  const levels = data.blocks[places[k]?.block as number]?.group.levels.length as number;
  return Math.max(Math.abs(theta[k] as number), 1 / Math.sqrt(data.rows / levels));
}

/** Relative to the scale of a parameter; the error of the slope is about its fourth power. */
const difference = 2e-3;

/**
 * Second derivative of the deviance by active parameters and log residual standard deviation, and what of it is left
 * where that deviation is always at its best.
 */
function curvatures(deviance: ProfiledDeviance, theta: Float64Array, active: readonly number[]) {
  const m = active.length;
  const size = m + 1;
  const curvature = new Float64Array(size * size);
  deviance.at(theta);
  const variance = deviance.residual() / deviance.freedom;
  const residualGradient = deviance.residualGradient();
  active.forEach((k, i) => {
    const step = difference * scaleOf(deviance, theta, k);
    const slopes = slopeOf(step, (by) => {
      const point = theta.slice();
      point[k] = (point[k] as number) + by;
      deviance.at(point);
      return deviance.gradientAt(variance);
    });
    active.forEach((other, j) => {
      const slope = slopes[other] as number;
      curvature[i * size + j] = (curvature[i * size + j] as number) + slope / 2;
      curvature[j * size + i] = (curvature[j * size + i] as number) + slope / 2;
    });
    const mixed = (-2 * (residualGradient[k] as number)) / variance;
    curvature[i * size + m] = mixed;
    curvature[m * size + i] = mixed;
  });
  const last = 4 * deviance.freedom;
  curvature[m * size + m] = last;
  const profile = new Float64Array(m * m);
  for (let i = 0; i < m; i++) {
    for (let j = 0; j < m; j++) {
      const through = ((curvature[i * size + m] as number) * (curvature[j * size + m] as number)) / last;
      profile[i * m + j] = (curvature[i * size + j] as number) - through;
    }
  }
  return { curvature, profile };
}

/** Newton's steps by one second derivative, while they halve what is left to win; `first` is that of the first point. */
function newton(
  deviance: ProfiledDeviance,
  theta: Float64Array,
  active: readonly number[],
  scale: readonly number[],
  stepOf: (gradient: Float64Array) => Float64Array,
) {
  let best = { point: theta, value: deviance.at(theta), left: Number.POSITIVE_INFINITY };
  let point = theta;
  let first = 0;
  for (let trial = 0; trial < 8; trial++) {
    const value = deviance.at(point);
    const gradient = deviance.gradient();
    const own = Float64Array.from(active, (k, i) => (gradient[k] as number) * (scale[i] as number));
    const step = stepOf(own);
    const left = dot(step, own) / 2;
    if (trial === 0) first = left;
    if (!(left < best.left / 2)) break;
    best = { point, value, left };
    point = point.slice();
    active.forEach((k, i) => {
      point[k] = (point[k] as number) - (step[i] as number) * (scale[i] as number);
    });
  }
  return { ...best, first };
}

function newtonStep(gradient: Float64Array, values: Float64Array, vectors: Float64Array): Float64Array {
  const n = gradient.length;
  const step = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const vector = vectors.subarray(k * n, (k + 1) * n);
    const weight = dot(vector, gradient) / (values[k] as number);
    for (let i = 0; i < n; i++) step[i] = (step[i] as number) + weight * (vector[i] as number);
  }
  return step;
}

/** Where the deviance is flat or bends down, goes on from whichever side is lower, near by or further off. */
function awayFrom(
  deviance: ProfiledDeviance,
  theta: Float64Array,
  active: readonly number[],
  scale: readonly number[],
  along: Float64Array,
): Minimum {
  const reached = [0.1, -0.1, 1, -1].map((by) => {
    const point = theta.slice();
    active.forEach((k, i) => {
      point[k] = (point[k] as number) + by * (along[i] as number) * (scale[i] as number);
    });
    return minimise(deviance, point, converged);
  });
  return reached.reduce((a, b) => (b.value < a.value ? b : a));
}

function notTold(deviance: ProfiledDeviance, active: readonly number[], along: Float64Array): StatsError {
  const named = new Set<string>();
  active.forEach((k, i) => {
    const { group } = deviance.data.blocks[deviance.places[k]?.block ?? 0] ?? {};
    if (group && Math.abs(along[i] as number) > 0.2) named.add(group.name);
  });
  const wrong =
    'has variances that these rows can’t tell apart from each other, from a fixed term or from the residual';
  const allowed = 'groups that cross, nest with repeats, or differ from the fixed terms';
  return new StatsError('not-identified', 'random', wrong, allowed, [...named].join(', '));
}
