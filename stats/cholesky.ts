/**
 * Decomposes a symmetric positive definite matrix in place: of n rows one after the other, the lower triangle is read and
 * becomes L of LLᵀ. False where the matrix isn't positive definite.
 */
export const cholesky = (matrix: Float64Array, n: number): boolean => columnsDecomposed(matrix, n, 0) === n;

/**
 * The same column by column, until one is made of those before it but for a share of its size.
 * @returns how many columns were decomposed, n where all were
 */
export function columnsDecomposed(matrix: Float64Array, n: number, share: number): number {
  for (let j = 0; j < n; j++) {
    const whole = matrix[j * n + j] as number;
    let pivot = whole;
    for (let k = 0; k < j; k++) pivot -= (matrix[j * n + k] as number) ** 2;
    if (!(pivot > share * whole)) return j;
    pivot = Math.sqrt(pivot);
    matrix[j * n + j] = pivot;
    for (let i = j + 1; i < n; i++) {
      let sum = matrix[i * n + j] as number;
      for (let k = 0; k < j; k++) sum -= (matrix[i * n + k] as number) * (matrix[j * n + k] as number);
      matrix[i * n + j] = sum / pivot;
    }
  }
  return n;
}

/** Solves LLᵀx = right in place, with L from {@link cholesky}. */
export function solveCholesky(lower: Float64Array, right: Float64Array, n: number): void {
  for (let i = 0; i < n; i++) {
    let sum = right[i] as number;
    for (let k = 0; k < i; k++) sum -= (lower[i * n + k] as number) * (right[k] as number);
    right[i] = sum / (lower[i * n + i] as number);
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = right[i] as number;
    for (let k = i + 1; k < n; k++) sum -= (lower[k * n + i] as number) * (right[k] as number);
    right[i] = sum / (lower[i * n + i] as number);
  }
}
