import { solveCholesky } from '../cholesky';
import { StatsError } from '../errors';
import { fixedProducts, forEachEntry } from './cross-products';
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
  const n = products.width - 1;
  const coefficients = products.fixed.slice(n * products.width, n * products.width + n);
  solveCholesky(factor, coefficients, n);
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
