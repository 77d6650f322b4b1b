import { cholesky } from '../cholesky';
import type { BlockPattern } from './block-pattern';

/**
 * The Cholesky factor of a symmetric matrix [A B′; B C]: A large and sparse, with the shape of a {@link BlockPattern}, B a
 * few dense rows under it, C small and dense. And the way back: from the derivative of some function by the factor's
 * diagonal to its derivative by every entry of A, B and C.
 *
 * The caller writes A's lower triangle into `values` (at the places of the pattern, 0 where only the factor has entries),
 * B column by column into `border` (at its rows, see `borderRow`), and C's lower triangle into `corner`; `factorise`
 * replaces them by the factor. Many of B's entries are 0 and stay so: of a hundred listeners a sitting knows one. They are
 * passed over, which changes no sum.
 *
 * Source: left-looking factorisation as in Davis (2006), Direct Methods for Sparse Linear Systems, chapter 4; its adjoint
 * by taking every step back in the reverse order (Smith 1995, Journal of Computational and Graphical Statistics
 * 4:134–147).
 */
export class BorderedCholesky {
  readonly values: Float64Array;
  /** B′: entry b of column j at j·rows + b. */
  readonly border: Float64Array;
  /** Where the rows of B that column j has entries in begin in `borderRow`, ascending; those of the factor included. */
  readonly borderStart: Int32Array;
  readonly borderRow: Int32Array;
  /** Row a, column b at a·rows + b, a ≥ b. */
  readonly corner: Float64Array;
  readonly valuesAdjoint: Float64Array;
  readonly borderAdjoint: Float64Array;
  private readonly cornerAdjoint: Float64Array;
  private readonly work: Float64Array;
  private readonly columns: number;

  /** @param touched for each column the rows of B that aren't 0, ascending; left out: all */
  constructor(
    private readonly pattern: BlockPattern,
    readonly rows: number,
    touched?: readonly (readonly number[])[],
  ) {
    this.columns = pattern.columnStart.length - 1;
    this.values = new Float64Array(pattern.rowOf.length);
    this.valuesAdjoint = new Float64Array(pattern.rowOf.length);
    this.border = new Float64Array(this.columns * rows);
    this.borderAdjoint = new Float64Array(this.columns * rows);
    this.corner = new Float64Array(rows * rows);
    this.cornerAdjoint = new Float64Array(rows * rows);
    this.work = new Float64Array(this.columns);
    const all = Array.from({ length: rows }, (_, b) => b);
    const lists = touched ? withFill(pattern, touched) : Array.from({ length: this.columns }, () => all);
    this.borderStart = new Int32Array(this.columns + 1);
    lists.forEach((list, j) => {
      this.borderStart[j + 1] = (this.borderStart[j] as number) + list.length;
    });
    this.borderRow = new Int32Array(this.borderStart[this.columns] as number);
    lists.forEach((list, j) => {
      this.borderRow.set(list, this.borderStart[j] as number);
    });
  }

  /** Whether all pivots came out above 0; where one didn't, the factor is of no use. */
  factorise(): boolean {
    const { columnStart, rowOf, rowStart, columnAt, placeAt } = this.pattern;
    const { values, border, borderStart, borderRow, work, rows, columns } = this;
    for (let j = 0; j < columns; j++) {
      const own = j * rows;
      for (let t = rowStart[j] as number; t < (rowStart[j + 1] as number); t++) {
        const k = columnAt[t] as number;
        const place = placeAt[t] as number;
        const end = columnStart[k + 1] as number;
        const left = values[place] as number;
        for (let p = place; p < end; p++) {
          const i = rowOf[p] as number;
          work[i] = (work[i] as number) + left * (values[p] as number);
        }
        const theirs = k * rows;
        const over = borderStart[k + 1] as number;
        for (let q = borderStart[k] as number; q < over; q++) {
          const b = borderRow[q] as number;
          border[own + b] = (border[own + b] as number) - left * (border[theirs + b] as number);
        }
      }
      const start = columnStart[j] as number;
      const end = columnStart[j + 1] as number;
      const pivot = (values[start] as number) - (work[j] as number);
      work[j] = 0;
      if (!(pivot > 0)) {
        work.fill(0);
        return false;
      }
      const root = Math.sqrt(pivot);
      values[start] = root;
      for (let p = start + 1; p < end; p++) {
        const i = rowOf[p] as number;
        values[p] = ((values[p] as number) - (work[i] as number)) / root;
        work[i] = 0;
      }
      for (let q = borderStart[j] as number; q < (borderStart[j + 1] as number); q++) {
        const b = borderRow[q] as number;
        border[own + b] = (border[own + b] as number) / root;
      }
    }
    this.reduceCorner();
    return cholesky(this.corner, rows);
  }

  private reduceCorner(): void {
    const { border, borderStart, borderRow, corner, rows, columns } = this;
    for (let j = 0; j < columns; j++) {
      const own = j * rows;
      const first = borderStart[j] as number;
      for (let q = first; q < (borderStart[j + 1] as number); q++) {
        const a = borderRow[q] as number;
        const left = border[own + a] as number;
        if (left === 0) continue;
        for (let r = first; r <= q; r++) {
          const b = borderRow[r] as number;
          corner[a * rows + b] = (corner[a * rows + b] as number) - left * (border[own + b] as number);
        }
      }
    }
  }

  /** Entry (j, j) of the factor of A. */
  diagonal(j: number): number {
    return this.values[this.pattern.columnStart[j] as number] as number;
  }

  /**
   * After `factorise`: fills `valuesAdjoint` and `borderAdjoint` with the derivative by the entries of A (each of the
   * lower triangle once) and of B (at its rows), of a function whose derivative by the diagonal of the factor is given.
   * @param inA derivative by the diagonal entry d of A's factor is inA/d
   * @param inCorner derivative by each diagonal entry of the corner's factor
   */
  takeBack(inA: number, inCorner: Float64Array): void {
    const { columnStart, rowOf, rowStart, columnAt, placeAt } = this.pattern;
    const { values, border, borderStart, borderRow, work, rows, columns, cornerAdjoint } = this;
    const [adjoint, borderAdjoint] = [this.valuesAdjoint, this.borderAdjoint];
    adjoint.fill(0);
    cornerAdjoint.fill(0);
    for (let a = 0; a < rows; a++) cornerAdjoint[a * rows + a] = inCorner[a] as number;
    takeBackDense(this.corner, cornerAdjoint, rows);
    borderAdjoint.fill(0);
    for (let j = 0; j < columns; j++) {
      const own = j * rows;
      const first = borderStart[j] as number;
      for (let q = first; q < (borderStart[j + 1] as number); q++) {
        const a = borderRow[q] as number;
        const left = border[own + a] as number;
        const from = a * rows;
        let sum = 2 * (cornerAdjoint[from + a] as number) * left;
        for (let r = first; r < q; r++) {
          const b = borderRow[r] as number;
          const by = cornerAdjoint[from + b] as number;
          sum += by * (border[own + b] as number);
          borderAdjoint[own + b] = (borderAdjoint[own + b] as number) - by * left;
        }
        borderAdjoint[own + a] = (borderAdjoint[own + a] as number) - sum;
      }
    }
    for (let j = columns - 1; j >= 0; j--) {
      const start = columnStart[j] as number;
      const end = columnStart[j + 1] as number;
      const own = j * rows;
      const root = values[start] as number;
      let sum = 0;
      for (let p = start + 1; p < end; p++) {
        const by = (adjoint[p] as number) / root;
        adjoint[p] = by;
        sum += by * (values[p] as number);
        work[rowOf[p] as number] = by;
      }
      for (let q = borderStart[j] as number; q < (borderStart[j + 1] as number); q++) {
        const b = borderRow[q] as number;
        const by = (borderAdjoint[own + b] as number) / root;
        borderAdjoint[own + b] = by;
        sum += by * (border[own + b] as number);
      }
      const byPivot = ((adjoint[start] as number) + inA / root - sum) / (2 * root);
      adjoint[start] = byPivot;
      work[j] = byPivot;
      for (let t = rowStart[j] as number; t < (rowStart[j + 1] as number); t++) {
        const k = columnAt[t] as number;
        const place = placeAt[t] as number;
        const left = values[place] as number;
        const last = columnStart[k + 1] as number;
        let byLeft = 0;
        for (let p = place; p < last; p++) {
          const by = work[rowOf[p] as number] as number;
          adjoint[p] = (adjoint[p] as number) - by * left;
          byLeft += by * (values[p] as number);
        }
        const theirs = k * rows;
        const over = borderStart[k + 1] as number;
        for (let q = borderStart[k] as number; q < over; q++) {
          const b = borderRow[q] as number;
          const by = borderAdjoint[own + b] as number;
          borderAdjoint[theirs + b] = (borderAdjoint[theirs + b] as number) - by * left;
          byLeft += by * (border[theirs + b] as number);
        }
        adjoint[place] = (adjoint[place] as number) - byLeft;
      }
      for (let p = start; p < end; p++) work[rowOf[p] as number] = 0;
    }
  }
}

/** Rows of B in the factor: a column hands on its own to the first column below it. */
function withFill({ columnStart, rowOf }: BlockPattern, touched: readonly (readonly number[])[]): number[][] {
  const filled = touched.map((rows) => new Set(rows));
  for (let k = 0; k < filled.length; k++) {
    const next = (columnStart[k] as number) + 1;
    if (next >= (columnStart[k + 1] as number)) continue;
    const parent = filled[rowOf[next] as number] as Set<number>;
    for (const b of filled[k] as Set<number>) parent.add(b);
  }
  return filled.map((rows) => [...rows].sort((a, b) => a - b));
}

function takeBackDense(factor: Float64Array, adjoint: Float64Array, n: number): void {
  for (let j = n - 1; j >= 0; j--) {
    const root = factor[j * n + j] as number;
    let sum = 0;
    for (let i = j + 1; i < n; i++) {
      const by = (adjoint[i * n + j] as number) / root;
      adjoint[i * n + j] = by;
      sum += by * (factor[i * n + j] as number);
    }
    adjoint[j * n + j] = ((adjoint[j * n + j] as number) - sum) / (2 * root);
    const own = j * n;
    const byOwn = adjoint[own + j] as number;
    for (let k = 0; k < j; k++) {
      const product = byOwn * (factor[own + k] as number);
      adjoint[own + k] = (adjoint[own + k] as number) - product - product;
    }
    let i = j + 1;
    // Four rows at once, in the same order for every entry.
    for (; i + 3 < n; i += 4) {
      const [first, second, third, fourth] = [i * n, (i + 1) * n, (i + 2) * n, (i + 3) * n];
      const a = adjoint[first + j] as number;
      const b = adjoint[second + j] as number;
      const c = adjoint[third + j] as number;
      const d = adjoint[fourth + j] as number;
      for (let k = 0; k < j; k++) {
        const left = factor[own + k] as number;
        adjoint[first + k] = (adjoint[first + k] as number) - a * left;
        adjoint[second + k] = (adjoint[second + k] as number) - b * left;
        adjoint[third + k] = (adjoint[third + k] as number) - c * left;
        adjoint[fourth + k] = (adjoint[fourth + k] as number) - d * left;
        adjoint[own + k] =
          (adjoint[own + k] as number) -
          a * (factor[first + k] as number) -
          b * (factor[second + k] as number) -
          c * (factor[third + k] as number) -
          d * (factor[fourth + k] as number);
      }
    }
    for (; i < n; i++) {
      const by = adjoint[i * n + j] as number;
      for (let k = 0; k < j; k++) {
        adjoint[i * n + k] = (adjoint[i * n + k] as number) - by * (factor[own + k] as number);
        adjoint[own + k] = (adjoint[own + k] as number) - by * (factor[i * n + k] as number);
      }
    }
  }
}
