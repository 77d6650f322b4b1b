/**
 * Decomposes a symmetric positive definite matrix in place: of n rows one after the other, the lower triangle is read and
 * becomes L of LLᵀ. False where the matrix isn't positive definite.
 */
export function cholesky(matrix: Float64Array, n: number): boolean {
  for (let j = 0; j < n; j++) {
    let pivot = matrix[j * n + j] as number;
    for (let k = 0; k < j; k++) pivot -= (matrix[j * n + k] as number) ** 2;
    if (!(pivot > 0)) return false;
    pivot = Math.sqrt(pivot);
    matrix[j * n + j] = pivot;
    for (let i = j + 1; i < n; i++) {
      let sum = matrix[i * n + j] as number;
      for (let k = 0; k < j; k++) sum -= (matrix[i * n + k] as number) * (matrix[j * n + k] as number);
      matrix[i * n + j] = sum / pivot;
    }
  }
  return true;
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
