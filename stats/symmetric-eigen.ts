/** Eigenvalues in descending order; `vectors[k * n + i]` is entry i of the unit eigenvector of value k. */
export interface SymmetricEigen {
  values: Float64Array;
  vectors: Float64Array;
}

/** Jacobi's method ends by squaring what is left in each sweep: some 6 to 12 sweeps do. */
const mostSweeps = 60;

/**
 * Eigenvalues and eigenvectors of a symmetric matrix by Jacobi's cyclic rotations.
 *
 * Arguments are those of trusted callers: finite, and only the diagonal and what stands above it is read; `matrix` itself
 * is left as it is. Each vector is turned so that its leading entry is positive (see `leadingEntry`). The vectors of equal
 * values are orthonormal, and otherwise any that span the same space.
 *
 * @param matrix n × n, row by row
 * @param n order of the matrix, at least 0
 *
 * Accuracy: 1e-14 of the largest eigenvalue; small eigenvalues of a positive definite matrix to 1e-14 of their own size
 * as far as its correlation matrix is well conditioned. Only sums, products, quotients and square roots, which every
 * machine rounds alike.
 * Source: Jacobi (1846), Journal für die reine und angewandte Mathematik 30:51–94; the rotation and its update by
 * Rutishauser (1966), Numerische Mathematik 9:1–10; when a rotation is no longer worth making by Demmel and Veselić
 * (1992), SIAM Journal on Matrix Analysis and Applications 13:1204–1245. Formulas from memory.
 */
export function symmetricEigen(matrix: Float64Array, n: number): SymmetricEigen {
  const a = Float64Array.from(matrix.subarray(0, n * n));
  const v = new Float64Array(n * n);
  let largest = 0;
  for (let i = 0; i < n; i++) {
    v[i * n + i] = 1;
    for (let j = i; j < n; j++) largest = Math.max(largest, Math.abs(a[i * n + j] as number));
  }
  const nothing = largest * Number.EPSILON ** 2;
  for (let sweep = 0, turned = true; turned && sweep < mostSweeps; sweep++) {
    turned = false;
    for (let p = 0; p < n - 1; p++) {
      for (let q = p + 1; q < n; q++) {
        const off = Math.abs(a[p * n + q] as number);
        const scale = Math.sqrt(Math.abs(a[p * n + p] as number)) * Math.sqrt(Math.abs(a[q * n + q] as number));
        if (off <= nothing || off <= Number.EPSILON * scale) continue;
        rotate(a, v, n, p, q);
        turned = true;
      }
    }
  }
  return sorted(a, v, n);
}

/** One rotation that makes the entry (p, q) zero; p < q. Rows of `v` are the vectors. */
function rotate(a: Float64Array, v: Float64Array, n: number, p: number, q: number) {
  const off = a[p * n + q] as number;
  const t = tangent((a[q * n + q] as number) - (a[p * n + p] as number), off);
  const c = 1 / Math.sqrt(1 + t * t);
  const s = t * c;
  const tau = s / (1 + c);
  a[p * n + p] = (a[p * n + p] as number) - t * off;
  a[q * n + q] = (a[q * n + q] as number) + t * off;
  a[p * n + q] = 0;
  for (let i = 0; i < n; i++) {
    if (i !== p && i !== q) {
      // The two entries of row i, each where it stands above the diagonal.
      turn(a, i < p ? i * n + p : p * n + i, i < q ? i * n + q : q * n + i, s, tau);
    }
    turn(v, p * n + i, q * n + i, s, tau);
  }
}

/** The tangent of the smaller angle that makes `off` vanish between two diagonal entries that differ by `gap`. */
export function tangent(gap: number, off: number): number {
  const theta = gap / (2 * off);
  // Beyond this θ² overflows, and 1 beside it would be lost long before.
  if (Math.abs(theta) > 1e150) return 0.5 / theta;
  return (theta < 0 ? -1 : 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
}

/** Turns the pair of entries at `x` and `y` by an angle of sine `s`, where tau = s / (1 + cosine). */
export function turn(a: Float64Array, x: number, y: number, s: number, tau: number) {
  const first = a[x] as number;
  const second = a[y] as number;
  a[x] = first - s * (second + tau * first);
  a[y] = second + s * (first - tau * second);
}

function sorted(a: Float64Array, v: Float64Array, n: number): SymmetricEigen {
  const value = (k: number) => a[k * n + k] as number;
  const order = Array.from({ length: n }, (_, k) => k).sort((x, y) => value(y) - value(x));
  const values = Float64Array.from(order, value);
  const vectors = new Float64Array(n * n);
  for (const [k, from] of order.entries()) {
    const vector = v.subarray(from * n, (from + 1) * n);
    const sign = (vector[leadingEntry(vector)] as number) < 0 ? -1 : 1;
    for (let i = 0; i < n; i++) vectors[k * n + i] = sign * (vector[i] as number);
  }
  return { values, vectors };
}

/**
 * Which entry of a vector decides its sign: the largest in size. Of entries that differ by rounding only the first, so that
 * the sign of a vector like (0.7, −0.7) doesn't hang on the last digit.
 */
export function leadingEntry(vector: Float64Array): number {
  let largest = 0;
  for (const entry of vector) largest = Math.max(largest, Math.abs(entry));
  const enough = largest * (1 - 1e-9);
  return Math.max(
    0,
    vector.findIndex((entry) => Math.abs(entry) >= enough),
  );
}
