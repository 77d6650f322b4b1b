/**
 * The likelihood of a linear mixed model straight from its definition, rows by rows, with nothing of the code that it
 * checks: y normal with mean Xβ and covariance σ²H, H = I + ΣZΛΛᵀZᵀ; β and σ² at their best.
 */
export interface DenseModel {
  /** One row of the fixed design each. */
  x: number[][];
  y: number[];
  /** H, row by row. */
  h: number[][];
}

function cholesky(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const out = matrix.map((row) => row.map(() => 0));
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i]?.[j] ?? Number.NaN;
      for (let k = 0; k < j; k++) sum -= (out[i]?.[k] ?? 0) * (out[j]?.[k] ?? 0);
      (out[i] as number[])[j] = i === j ? Math.sqrt(sum) : sum / (out[j]?.[j] ?? Number.NaN);
    }
  }
  return out;
}

/** L⁻¹ times a vector. */
function forward(lower: readonly (readonly number[])[], right: readonly number[]): number[] {
  const out: number[] = [];
  lower.forEach((row, i) => {
    let sum = right[i] ?? Number.NaN;
    for (let k = 0; k < i; k++) sum -= (row[k] ?? 0) * (out[k] ?? 0);
    out.push(sum / (row[i] ?? Number.NaN));
  });
  return out;
}

const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, value, i) => sum + value * (b[i] ?? 0), 0);
const logDeterminant = (lower: readonly (readonly number[])[]) =>
  2 * lower.reduce((sum, row, i) => sum + Math.log(row[i] ?? Number.NaN), 0);

/** −2 log likelihood, or −2 log restricted likelihood. */
export function denseDeviance({ x, y, h }: DenseModel, restricted: boolean): number {
  const root = cholesky(h);
  const columns = (x[0] as number[]).map((_, c) =>
    forward(
      root,
      x.map((row) => row[c] ?? Number.NaN),
    ),
  );
  const response = forward(root, y);
  const squares = columns.map((a) => columns.map((b) => dot(a, b)));
  const inner = cholesky(squares);
  const projected = forward(
    inner,
    columns.map((a) => dot(a, response)),
  );
  const residual = dot(response, response) - dot(projected, projected);
  const freedom = restricted ? y.length - columns.length : y.length;
  return (
    logDeterminant(root) +
    (restricted ? logDeterminant(inner) : 0) +
    freedom * (1 + Math.log((2 * Math.PI * residual) / freedom))
  );
}
