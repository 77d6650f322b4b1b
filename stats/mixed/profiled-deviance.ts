import { type BlockPattern, blockPattern } from './block-pattern';
import { BorderedCholesky } from './bordered-cholesky';
import type { CrossProducts, Meeting } from './cross-products';
import type { RandomBlock } from './random-blocks';

/**
 * Deviance (−2 log likelihood, or −2 log restricted likelihood) of a linear mixed model as a function of the relative
 * covariance factor alone: the fixed coefficients and the residual variance are the best there are for each factor.
 *
 * The random effects of a level are σΛu with u standard normal; the parameters θ are the lower triangles of the Λs, block
 * by block in the order of the data, column by column. Any real θ will do: a column of Λ with its sign turned is the same
 * model, so that there are no bounds to mind, and a variance of zero is a point where the function is even.
 *
 * Source: Bates, Mächler, Bolker & Walker (2015), Journal of Statistical Software 67(1), sections 3.2 to 3.4 (formulas 34
 * and 41 for the deviance); the gradient by taking the factorisation back (see `BorderedCholesky`).
 */
export class ProfiledDeviance {
  /** Number of parameters. */
  readonly parameters: number;
  /** Rows less what the fixed part uses up (restricted likelihood), or all rows. */
  readonly freedom: number;
  /** For each parameter its block, and its row and column in Λ. */
  readonly places: { block: number; row: number; column: number }[] = [];
  private readonly factor: BorderedCholesky;
  private readonly pattern: BlockPattern;
  private readonly factors: Float64Array[];
  private readonly adjoints: Float64Array[];
  private readonly spots: Int32Array[];
  private readonly firstNode: number[];
  private readonly seeds: Float64Array;

  constructor(
    readonly data: CrossProducts,
    readonly restricted: boolean,
  ) {
    const { blocks, meetings, width, rows } = data;
    this.freedom = restricted ? rows - (width - 1) : rows;
    blocks.forEach(({ effects }, block) => {
      effects.forEach((_, column) => {
        for (let row = column; row < effects.length; row++) this.places.push({ block, row, column });
      });
    });
    this.parameters = this.places.length;
    this.factors = blocks.map(({ effects }) => new Float64Array(effects.length ** 2));
    this.adjoints = blocks.map(({ effects }) => new Float64Array(effects.length ** 2));
    this.seeds = new Float64Array(width);
    let nodes = 0;
    this.firstNode = blocks.map(({ group }) => {
      nodes += group.levels.length;
      return nodes - group.levels.length;
    });
    this.pattern = blockPattern(sizesOf(blocks), this.neighbours(nodes, meetings));
    this.spots = meetings.map((meeting) => this.spotsOf(meeting));
    this.factor = new BorderedCholesky(this.pattern, width, this.touched());
  }

  private neighbours(nodes: number, meetings: readonly Meeting[]): number[][] {
    const later: number[][] = Array.from({ length: nodes }, () => []);
    for (const { column, row, columnLevel, rowLevel } of meetings) {
      if (column === row) continue;
      const [from, to] = [this.firstNode[column] as number, this.firstNode[row] as number];
      for (let e = 0; e < columnLevel.length; e++) {
        (later[from + (columnLevel[e] as number)] as number[]).push(to + (rowLevel[e] as number));
      }
    }
    return later;
  }

  /** For each column of the random part the fixed columns, and the response, that occur together with its level. */
  private touched(): number[][] {
    const { blocks, withFixed, width } = this.data;
    return blocks.flatMap(({ group, effects }, block) => {
      const sums = withFixed[block] as Float64Array;
      const size = effects.length;
      return group.levels.flatMap((_, level) => {
        const rows: number[] = [];
        for (let b = 0; b < width; b++) {
          const some = effects.some((__, c) => sums[(level * size + c) * width + b] !== 0);
          if (some) rows.push(b);
        }
        return effects.map(() => rows);
      });
    });
  }

  /** Where entry e's column c begins among the values of the factor, at e·effects + c. */
  private spotsOf({ column, row, columnLevel, rowLevel }: Meeting): Int32Array {
    const { first, columnStart, rowOf } = this.pattern;
    const wide = this.data.blocks[column]?.effects.length ?? 0;
    const spots = new Int32Array(columnLevel.length * wide);
    for (let e = 0; e < columnLevel.length; e++) {
      const from = first[(this.firstNode[column] as number) + (columnLevel[e] as number)] as number;
      const top = first[(this.firstNode[row] as number) + (rowLevel[e] as number)] as number;
      for (let c = 0; c < wide; c++) {
        const start = columnStart[from + c] as number;
        spots[e * wide + c] = column === row ? start : found(rowOf, start, columnStart[from + c + 1] as number, top);
      }
    }
    return spots;
  }

  /** Deviance at θ; infinite where the matrix can't be factorised. What stands below is then about this θ. */
  at(theta: Float64Array): number {
    const { restricted, freedom, factor, data } = this;
    this.assemble(theta);
    if (!factor.factorise()) return Number.POSITIVE_INFINITY;
    let logs = 0;
    for (let j = 0; j < factor.border.length / data.width; j++) logs += Math.log(factor.diagonal(j));
    if (restricted) for (let a = 0; a < data.width - 1; a++) logs += Math.log(this.corner(a, a));
    return 2 * logs + freedom * (1 + Math.log((2 * Math.PI * this.residual()) / freedom));
  }

  /** Penalised residual sum of squares. */
  residual(): number {
    const last = this.data.width - 1;
    return this.corner(last, last) ** 2;
  }

  private corner(row: number, column: number): number {
    return this.factor.corner[row * this.data.width + column] as number;
  }

  /** The fixed coefficients that go with θ. */
  coefficients(): Float64Array {
    const last = this.data.width - 1;
    const out = new Float64Array(last);
    for (let a = last - 1; a >= 0; a--) {
      let sum = this.corner(last, a);
      for (let b = a + 1; b < last; b++) sum -= this.corner(b, a) * (out[b] as number);
      out[a] = sum / this.corner(a, a);
    }
    return out;
  }

  /** Covariance of the fixed coefficients over the residual variance: the inverse of RᵀR, row by row. */
  covariance(): Float64Array {
    const n = this.data.width - 1;
    // Column by column, so that what is summed stands side by side.
    const inverse = new Float64Array(n * n);
    const { corner } = this.factor;
    for (let column = 0; column < n; column++) {
      const own = column * n;
      for (let row = column; row < n; row++) {
        const from = row * this.data.width;
        let sum = row === column ? 1 : 0;
        for (let k = column; k < row; k++) sum -= (corner[from + k] as number) * (inverse[own + k] as number);
        inverse[own + row] = sum / (corner[from + row] as number);
      }
    }
    const out = new Float64Array(n * n);
    for (let a = 0; a < n; a++) {
      for (let b = 0; b <= a; b++) {
        let sum = 0;
        for (let k = a; k < n; k++) sum += (inverse[a * n + k] as number) * (inverse[b * n + k] as number);
        out[a * n + b] = sum;
        out[b * n + a] = sum;
      }
    }
    return out;
  }

  /** Gradient of the deviance at the θ that {@link at} was last asked for. */
  gradient(): Float64Array {
    return this.derivative(2, (2 * this.freedom) / Math.sqrt(this.residual()));
  }

  /** The same with the residual variance held where it is given, in place of its best. */
  gradientAt(residualVariance: number): Float64Array {
    return this.derivative(2, (2 * Math.sqrt(this.residual())) / residualVariance);
  }

  /** Gradient of the penalised residual sum of squares. */
  residualGradient(): Float64Array {
    return this.derivative(0, 2 * Math.sqrt(this.residual()));
  }

  private derivative(byLogs: number, byRoot: number): Float64Array {
    const { data, seeds, factor, restricted } = this;
    const last = data.width - 1;
    for (let a = 0; a < last; a++) seeds[a] = restricted ? byLogs / this.corner(a, a) : 0;
    seeds[last] = byRoot;
    factor.takeBack(byLogs, seeds);
    for (const adjoint of this.adjoints) adjoint.fill(0);
    for (const [index, meeting] of data.meetings.entries())
      this.takeBackMeeting(meeting, this.spots[index] as Int32Array);
    for (let block = 0; block < data.blocks.length; block++) this.takeBackBorder(block);
    return Float64Array.from(this.places, ({ block, row, column }) => {
      const size = data.blocks[block]?.effects.length as number;
      return this.adjoints[block]?.[row * size + column] as number;
    });
  }

  /** Writes [ΛᵀZᵀZΛ + I, ΛᵀZᵀX; XᵀZΛ, XᵀX] into the factor, the response as one more column of X. */
  private assemble(theta: Float64Array): void {
    const { data, factor, factors } = this;
    this.places.forEach(({ block, row, column }, k) => {
      const size = data.blocks[block]?.effects.length as number;
      (factors[block] as Float64Array)[row * size + column] = theta[k] as number;
    });
    factor.values.fill(0);
    factor.corner.set(data.fixed);
    for (const [index, meeting] of data.meetings.entries())
      this.assembleMeeting(meeting, this.spots[index] as Int32Array);
    for (let block = 0; block < data.blocks.length; block++) this.assembleBorder(block);
  }

  private assembleMeeting({ column, row, values }: Meeting, spots: Int32Array): void {
    const into = this.factor.values;
    const [wide, tall] = [this.sizeOf(column), this.sizeOf(row)];
    const [left, right] = [this.factors[row] as Float64Array, this.factors[column] as Float64Array];
    const itself = column === row;
    const entries = spots.length / wide;
    if (wide === 1 && tall === 1) {
      const product = (left[0] as number) * (right[0] as number);
      const added = itself ? 1 : 0;
      for (let e = 0; e < entries; e++) into[spots[e] as number] = product * (values[e] as number) + added;
      return;
    }
    const half = new Float64Array(tall * wide);
    for (let e = 0; e < entries; e++) {
      const from = e * tall * wide;
      // half = S·Λ of the column block; then Λᵀ of the row block times that.
      for (let r = 0; r < tall; r++) {
        for (let c = 0; c < wide; c++) {
          let sum = 0;
          for (let k = c; k < wide; k++)
            sum += (values[from + r * wide + k] as number) * (right[k * wide + c] as number);
          half[r * wide + c] = sum;
        }
      }
      for (let c = 0; c < wide; c++) {
        const top = itself ? c : 0;
        const spot = (spots[e * wide + c] as number) - top;
        for (let r = top; r < tall; r++) {
          let sum = itself && r === c ? 1 : 0;
          for (let k = r; k < tall; k++) sum += (left[k * tall + r] as number) * (half[k * wide + c] as number);
          into[spot + r] = sum;
        }
      }
    }
  }

  private takeBackMeeting({ column, row, values }: Meeting, spots: Int32Array): void {
    const by = this.factor.valuesAdjoint;
    const [wide, tall] = [this.sizeOf(column), this.sizeOf(row)];
    const [left, right] = [this.factors[row] as Float64Array, this.factors[column] as Float64Array];
    const [byLeft, byRight] = [this.adjoints[row] as Float64Array, this.adjoints[column] as Float64Array];
    const itself = column === row;
    const entries = spots.length / wide;
    if (wide === 1 && tall === 1) {
      let sum = 0;
      for (let e = 0; e < entries; e++) sum += (values[e] as number) * (by[spots[e] as number] as number);
      byLeft[0] = (byLeft[0] as number) + sum * (right[0] as number);
      byRight[0] = (byRight[0] as number) + sum * (left[0] as number);
      return;
    }
    for (let e = 0; e < entries; e++) {
      const from = e * tall * wide;
      for (let t = 0; t < wide; t++) {
        const top = itself ? t : 0;
        const spot = (spots[e * wide + t] as number) - top;
        for (let s = top; s < tall; s++) {
          const one = by[spot + s] as number;
          if (one === 0) continue;
          for (let r = 0; r < tall; r++) {
            for (let c = 0; c < wide; c++) {
              const value = one * (values[from + r * wide + c] as number);
              byLeft[r * tall + s] = (byLeft[r * tall + s] as number) + value * (right[c * wide + t] as number);
              byRight[c * wide + t] = (byRight[c * wide + t] as number) + value * (left[r * tall + s] as number);
            }
          }
        }
      }
    }
  }

  private assembleBorder(block: number): void {
    const { width } = this.data;
    const size = this.sizeOf(block);
    const sums = this.data.withFixed[block] as Float64Array;
    const own = this.factors[block] as Float64Array;
    const { border: into, borderStart, borderRow } = this.factor;
    const first = this.pattern.first[this.firstNode[block] as number] as number;
    const start = first * width;
    for (let at = 0; at < sums.length; at += size * width) {
      for (let c = 0; c < size; c++) {
        const column = first + at / width + c;
        for (let q = borderStart[column] as number; q < (borderStart[column + 1] as number); q++) {
          const b = borderRow[q] as number;
          let sum = 0;
          for (let k = c; k < size; k++) sum += (own[k * size + c] as number) * (sums[at + k * width + b] as number);
          into[start + at + c * width + b] = sum;
        }
      }
    }
  }

  private takeBackBorder(block: number): void {
    const { width } = this.data;
    const size = this.sizeOf(block);
    const sums = this.data.withFixed[block] as Float64Array;
    const adjoint = this.adjoints[block] as Float64Array;
    const { borderAdjoint: by, borderStart, borderRow } = this.factor;
    const first = this.pattern.first[this.firstNode[block] as number] as number;
    const start = first * width;
    for (let at = 0; at < sums.length; at += size * width) {
      for (let c = 0; c < size; c++) {
        const column = first + at / width + c;
        for (let k = c; k < size; k++) {
          let sum = 0;
          for (let q = borderStart[column] as number; q < (borderStart[column + 1] as number); q++) {
            const b = borderRow[q] as number;
            sum += (sums[at + k * width + b] as number) * (by[start + at + c * width + b] as number);
          }
          adjoint[k * size + c] = (adjoint[k * size + c] as number) + sum;
        }
      }
    }
  }

  private sizeOf(block: number): number {
    return this.data.blocks[block]?.effects.length as number;
  }
}

function sizesOf(blocks: readonly RandomBlock[]): Int32Array {
  const sizes: number[] = [];
  for (const { group, effects } of blocks) for (const _ of group.levels) sizes.push(effects.length);
  return Int32Array.from(sizes);
}

/** The place of `row` among ascending rows from `start` to before `end`. */
function found(rowOf: Int32Array, start: number, end: number, row: number): number {
  let [low, high] = [start, end - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((rowOf[middle] as number) < row) low = middle + 1;
    else high = middle;
  }
  return low;
}
