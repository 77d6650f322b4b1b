import { tangent, turn } from './symmetric-eigen';

const mostSweeps = 60;

/**
 * Turns the columns of a matrix into each other until all are at right angles: their lengths are then its singular values,
 * in no order yet. This finds small singular values to their own size, where the eigenvalues of A'A would have lost half
 * of the digits.
 *
 * Arguments are those of trusted callers. `columns` and `along` are changed in place.
 *
 * @param columns one after the other, each of `length` entries
 * @param along what is turned in the same way, as many columns of `alongLength` entries: of a unit matrix it makes the right
 *   singular vectors
 *
 * Source: Hestenes (1958), Journal of the Society for Industrial and Applied Mathematics 6:51–90; accuracy by Demmel and
 * Veselić (1992), SIAM Journal on Matrix Analysis and Applications 13:1204–1245. Formulas from memory.
 */
export function oneSidedJacobi(columns: Float64Array, length: number, along?: Float64Array, alongLength = 0): void {
  const n = length === 0 ? 0 : columns.length / length;
  const enough = Number.EPSILON * Math.sqrt(length);
  for (let sweep = 0, turned = true; turned && sweep < mostSweeps; sweep++) {
    turned = false;
    for (let p = 0; p < n - 1; p++) {
      for (let q = p + 1; q < n; q++) {
        const off = product(columns, p * length, q * length, length);
        const first = product(columns, p * length, p * length, length);
        const second = product(columns, q * length, q * length, length);
        if (Math.abs(off) <= enough * Math.sqrt(first) * Math.sqrt(second)) continue;
        turned = true;
        const t = tangent(second - first, off);
        const c = 1 / Math.sqrt(1 + t * t);
        const s = t * c;
        const tau = s / (1 + c);
        for (let i = 0; i < length; i++) turn(columns, p * length + i, q * length + i, s, tau);
        if (along === undefined) continue;
        for (let i = 0; i < alongLength; i++) turn(along, p * alongLength + i, q * alongLength + i, s, tau);
      }
    }
  }
}

/** The inner product of two stretches of an array. */
function product(a: Float64Array, x: number, y: number, length: number): number {
  let total = 0;
  for (let i = 0; i < length; i++) total += (a[x + i] as number) * (a[y + i] as number);
  return total;
}
