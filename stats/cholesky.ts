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
    let i = j + 1;
    // Four rows at once, each summed as by itself: one sum alone would wait for its own last digit.
    for (; i + 3 < n; i += 4) {
      const [own, first, second, third, fourth] = [j * n, i * n, (i + 1) * n, (i + 2) * n, (i + 3) * n];
      let a = matrix[first + j] as number;
      let b = matrix[second + j] as number;
      let c = matrix[third + j] as number;
      let d = matrix[fourth + j] as number;
      for (let k = 0; k < j; k++) {
        const by = matrix[own + k] as number;
        a -= (matrix[first + k] as number) * by;
        b -= (matrix[second + k] as number) * by;
        c -= (matrix[third + k] as number) * by;
        d -= (matrix[fourth + k] as number) * by;
      }
      matrix[first + j] = a / pivot;
      matrix[second + j] = b / pivot;
      matrix[third + j] = c / pivot;
      matrix[fourth + j] = d / pivot;
    }
    for (; i < n; i++) {
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
