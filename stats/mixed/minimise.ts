/** A smooth function whose gradient is asked for after its value, at the same point. */
export interface Smooth {
  /** Infinite where it has none. */
  at(point: Float64Array): number;
  gradient(): Float64Array;
}

export interface Minimum {
  point: Float64Array;
  value: number;
  gradient: Float64Array;
}

const mostSteps = 400;
/** A step must win this share of what the slope promises, and leave at most this share of the slope. */
const enough = 1e-4;
const flatter = 0.9;
/** Of a value, relative to its size: sums over many levels lose that much. */
const rounding = 1e-11;

/**
 * Goes downhill from `start` by the quasi-Newton rule of Broyden, Fletcher, Goldfarb and Shanno (BFGS) until the rule
 * promises less than `tolerance`, or until rounding hides what is left. Whether that is a minimum is for the caller to
 * check by the second derivative.
 *
 * Source: Nocedal & Wright (2006), Numerical Optimization, 2nd ed., chapters 3 and 6. Formulas from memory.
 */
export function minimise(smooth: Smooth, start: Float64Array, tolerance: number): Minimum {
  const n = start.length;
  let point: Float64Array = start.slice();
  let value = smooth.at(point);
  let gradient = smooth.gradient();
  let inverse: Float64Array | null = null;
  for (let step = 0; step < mostSteps && n > 0; step++) {
    let direction = times(inverse, gradient);
    let slope = dot(direction, gradient);
    if (!(slope < 0)) {
      inverse = null;
      direction = times(null, gradient);
      slope = dot(direction, gradient);
    }
    if (inverse !== null && -slope < tolerance) break;
    if (!(slope < 0)) break;
    const reached = lineSearch(smooth, point, value, direction, slope);
    if (reached === null) {
      if (inverse === null) break;
      inverse = null;
      continue;
    }
    const moved = reached.point.map((x, i) => x - (point[i] as number));
    const change = reached.gradient.map((g, i) => g - (gradient[i] as number));
    inverse = updated(inverse, moved, change, n);
    ({ point, value, gradient } = reached);
  }
  return { point, value, gradient };
}

/**
 * A point along the direction that is enough lower and enough flatter; where the function is so flat that rounding hides
 * whether it is lower, flatter alone is taken (Hager & Zhang 2005, SIAM Journal on Optimization 16:170–192).
 */
function lineSearch(
  smooth: Smooth,
  from: Float64Array,
  value: number,
  direction: Float64Array,
  slope: number,
): Minimum | null {
  const longest = Math.max(...direction.map((d, i) => Math.abs(d) / (1 + Math.abs(from[i] as number))));
  let scale = Math.min(1, 1 / longest);
  let [low, high] = [0, Number.POSITIVE_INFINITY];
  let best: Minimum | null = null;
  for (let trial = 0; trial < 40; trial++) {
    const point = from.map((x, i) => x + scale * (direction[i] as number));
    const reached = smooth.at(point);
    if (!(reached <= value + rounding * Math.abs(value))) {
      high = scale;
    } else {
      const gradient = smooth.gradient();
      const there = dot(gradient, direction);
      const lower = reached <= value + enough * scale * slope;
      const flat = there >= flatter * slope;
      if (flat && (lower || there <= (2 * enough - 1) * slope)) return { point, value: reached, gradient };
      if (lower && (best === null || reached <= best.value)) best = { point, value: reached, gradient };
      if (flat) high = scale;
      else low = scale;
    }
    if (best !== null && trial > 12) return best;
    scale = high === Number.POSITIVE_INFINITY ? 2 * scale : (low + high) / 2;
  }
  return best;
}

function times(inverse: Float64Array | null, gradient: Float64Array): Float64Array {
  if (inverse === null) return gradient.map((g) => -g);
  const n = gradient.length;
  return gradient.map((_, i) => {
    let sum = 0;
    for (let j = 0; j < n; j++) sum -= (inverse[i * n + j] as number) * (gradient[j] as number);
    return sum;
  });
}

/** The approximate inverse of the second derivative after a step; the first one is scaled by what the step showed. */
function updated(before: Float64Array | null, moved: Float64Array, change: Float64Array, n: number) {
  const along = dot(moved, change);
  if (!(along > 1e-14 * Math.sqrt(dot(moved, moved) * dot(change, change)))) return before;
  const inverse = before ?? identity(n, along / dot(change, change));
  const turned = times(inverse, change).map((x) => -x);
  const weight = (1 + dot(change, turned) / along) / along;
  return inverse.map((entry, at) => {
    const [i, j] = [Math.floor(at / n), at % n];
    const [mi, mj] = [moved[i] as number, moved[j] as number];
    return entry + weight * mi * mj - ((turned[i] as number) * mj + mi * (turned[j] as number)) / along;
  });
}

function identity(n: number, scale: number): Float64Array {
  const out = new Float64Array(n * n);
  for (let i = 0; i < n; i++) out[i * n + i] = scale;
  return out;
}

export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
}
