import type { MixedFit } from './mixed-fit';
import type { ProfiledDeviance } from './profiled-deviance';
import type { RandomBlock } from './random-blocks';

/** A variance of one effect of a group, or a covariance of two. */
export interface VarianceRow {
  group: string;
  terms: string[];
  value: number;
  standardDeviationOrCorrelation: number | null;
}

/** Variances and covariances in the order of the input: for each random term its variances, then its covariances. */
export function varianceRows(
  blocks: readonly RandomBlock[],
  { data, places }: ProfiledDeviance,
  { theta, residualVariance }: MixedFit,
  scale: number,
): VarianceRow[] {
  const covariances = blocks.map((block) => {
    const number = data.blocks.indexOf(block);
    const size = block.effects.length;
    const factor = new Float64Array(size * size);
    places.forEach((place, k) => {
      if (place.block === number) factor[place.row * size + place.column] = theta[k] as number;
    });
    const asked = product(block.back, factor, size);
    return product(asked, transposed(asked, size), size).map((entry) => entry * residualVariance * scale);
  });
  const terms = [...new Set(blocks.map(({ term }) => term))];
  return terms.flatMap((term) => {
    const own = blocks.map((block, k) => ({ block, covariance: covariances[k] as Float64Array }));
    const rows = own
      .filter(({ block }) => block.term === term)
      .map(({ block, covariance }) => rowsOf(block, covariance));
    return [...rows.flatMap(({ variances }) => variances), ...rows.flatMap(({ shared }) => shared)];
  });
}

function rowsOf({ group, effects }: RandomBlock, covariance: Float64Array) {
  const size = effects.length;
  const at = (row: number, column: number) => covariance[row * size + column] as number;
  const variances = effects.map((effect, i) => ({
    group: group.name,
    terms: [effect],
    value: at(i, i),
    standardDeviationOrCorrelation: Math.sqrt(at(i, i)),
  }));
  const shared = effects.flatMap((effect, i) =>
    effects.slice(i + 1).map((other, offset) => {
      const j = i + 1 + offset;
      const spread = Math.sqrt(at(i, i) * at(j, j));
      const correlation = spread === 0 ? null : Math.max(-1, Math.min(1, at(i, j) / spread));
      return {
        group: group.name,
        terms: [effect, other],
        value: at(i, j),
        standardDeviationOrCorrelation: correlation,
      };
    }),
  );
  return { variances, shared };
}

function product(a: Float64Array, b: Float64Array, n: number): Float64Array {
  return Float64Array.from({ length: n * n }, (_, at) => {
    const [i, j] = [Math.floor(at / n), at % n];
    let sum = 0;
    for (let k = 0; k < n; k++) sum += (a[i * n + k] as number) * (b[k * n + j] as number);
    return sum;
  });
}

const transposed = (a: Float64Array, n: number): Float64Array =>
  a.map((_, at) => a[(at % n) * n + Math.floor(at / n)] as number);
