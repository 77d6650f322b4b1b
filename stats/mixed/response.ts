import { StatsError } from '../errors';
import { type FixedProducts, fixedProducts, forEachEntry } from './cross-products';
import type { FixedDesign } from './fixed-design';
import { spread } from './fixed-design';
import type { Covariate } from './model-table';
import { requireRank } from './rank';

/**
 * A response as the fit uses it: what least squares leave of it, in units of its standard deviation. Variances are the
 * same from that, and nothing of their digits goes into a large mean or a steep slope.
 */
export interface PreparedResponse {
  values: Float64Array;
  /** What the values were divided by. */
  scale: number;
  mean: number;
  /** Coefficients, from the mean on, of what was taken off, over the scale. */
  takenOff: Float64Array;
}

/** Less than this of the response is left where the fixed terms tell it exactly, but for rounding. */
const left = 1e-12;

/** @throws StatsError no-variation; not-identified and not-enough-data from `requireRank` */
export function preparedResponse(response: Covariate, design: FixedDesign): PreparedResponse {
  const { mean, deviation } = spread(response.values);
  if (!response.values.some((value) => value !== response.values[0])) {
    const wrong = 'is the same in every row';
    throw new StatsError('no-variation', 'response', wrong, 'a response that varies', response.values[0]);
  }
  const values = response.values.map((value) => value - mean);
  const products = fixedProducts(design, values);
  const factor = requireRank(products, design);
  const coefficients = solved(products, factor);
  forEachEntry(design, (row, column, entry) => {
    values[row] = (values[row] as number) - entry * (coefficients[column] as number);
  });
  let squares = 0;
  for (const value of values) squares += value * value;
  const scale = Math.sqrt(squares / values.length);
  if (!(scale > left * deviation)) {
    const wrong = 'is told exactly by the fixed terms, so that no residual is left';
    throw new StatsError('no-variation', 'response', wrong, 'a response that varies beside them', 'residual 0');
  }
  return {
    values: values.map((value) => value / scale),
    scale,
    mean,
    takenOff: coefficients.map((one) => one / scale),
  };
}

/** Least squares from the factor that `requireRank` leaves. */
function solved({ fixed, width }: FixedProducts, factor: Float64Array): Float64Array {
  const n = width - 1;
  const out = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let sum = fixed[n * width + i] as number;
    for (let k = 0; k < i; k++) sum -= (factor[i * width + k] as number) * (out[k] as number);
    out[i] = sum / (factor[i * width + i] as number);
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = out[i] as number;
    for (let k = i + 1; k < n; k++) sum -= (factor[k * width + i] as number) * (out[k] as number);
    out[i] = sum / (factor[i * width + i] as number);
  }
  return out;
}
