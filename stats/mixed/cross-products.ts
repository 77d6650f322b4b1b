import type { FixedDesign } from './fixed-design';
import type { RandomBlock } from './random-blocks';

/** What two blocks of effects have in common: one small matrix for every two levels that meet in a row. */
export interface Meeting {
  /** Number of the block that is eliminated first, and of the other; the same for a block with itself. */
  column: number;
  row: number;
  columnLevel: Int32Array;
  rowLevel: Int32Array;
  /** Entry e, effect r of the row block with effect c of the column block, at (e·rowEffects + r)·columnEffects + c. */
  values: Float64Array;
}

/** Sums of products over all rows: everything that a fit needs to know of the data. */
export interface CrossProducts {
  rows: number;
  /** Columns of the fixed design and, last, the response. */
  width: number;
  /** Blocks in the order in which they are eliminated: the one with the most levels first. */
  blocks: readonly RandomBlock[];
  meetings: Meeting[];
  /** For each block, level l's effect c with column b, at (l·effects + c)·width + b. */
  withFixed: Float64Array[];
  /** Lower triangle by rows. */
  fixed: Float64Array;
}

/** Sums of products of the fixed columns and the response alone. */
export type FixedProducts = Pick<CrossProducts, 'rows' | 'width' | 'fixed'>;

/** Every entry of the fixed design, row by row. */
export function forEachEntry(design: FixedDesign, visit: (row: number, column: number, entry: number) => void): void {
  const rows = design.columnOf[0]?.length ?? 0;
  for (let i = 0; i < rows; i++) {
    visit(i, 0, 1);
    for (let t = 0; t < design.columnOf.length; t++) {
      const column = (design.columnOf[t] as Int32Array)[i] as number;
      if (column >= 0) visit(i, column, design.entryOf[t]?.[i] ?? 1);
    }
  }
}

export const fixedProducts = (design: FixedDesign, response: Float64Array): FixedProducts =>
  crossProducts(design, [], response);

export function crossProducts(
  design: FixedDesign,
  randomBlocks: readonly RandomBlock[],
  response: Float64Array,
): CrossProducts {
  const rows = response.length;
  const width = design.names.length + 1;
  const blocks = [...randomBlocks].sort((a, b) => b.group.levels.length - a.group.levels.length);
  const fixed = new Float64Array(width * width);
  const withFixed = blocks.map(({ group, effects }) => new Float64Array(group.levels.length * effects.length * width));
  const terms = design.columnOf.length;
  const columns = new Int32Array(terms + 2);
  const entries = new Float64Array(terms + 2);
  for (let i = 0; i < rows; i++) {
    columns[0] = 0;
    entries[0] = 1;
    let count = 1;
    for (let t = 0; t < terms; t++) {
      const column = (design.columnOf[t] as Int32Array)[i] as number;
      if (column < 0) continue;
      columns[count] = column;
      entries[count++] = design.entryOf[t]?.[i] ?? 1;
    }
    columns[count] = width - 1;
    entries[count++] = response[i] as number;
    for (let a = 0; a < count; a++) {
      for (let b = 0; b < count; b++) {
        if ((columns[b] as number) > (columns[a] as number)) continue;
        const at = (columns[a] as number) * width + (columns[b] as number);
        fixed[at] = (fixed[at] as number) + (entries[a] as number) * (entries[b] as number);
      }
    }
    for (let k = 0; k < blocks.length; k++) {
      const { group, effects, multipliers } = blocks[k] as RandomBlock;
      const sums = withFixed[k] as Float64Array;
      const size = effects.length;
      for (let c = 0; c < size; c++) {
        const from = ((group.levelOf[i] as number) * size + c) * width;
        const multiplier = multipliers[i * size + c] as number;
        for (let a = 0; a < count; a++) {
          const at = from + (columns[a] as number);
          sums[at] = (sums[at] as number) + multiplier * (entries[a] as number);
        }
      }
    }
  }
  const meetings = blocks.flatMap((_, column) =>
    blocks.slice(column).map((__, offset) => meeting(blocks, column, column + offset, rows)),
  );
  return { rows, width, blocks, meetings, withFixed, fixed };
}

function meeting(blocks: readonly RandomBlock[], column: number, row: number, rows: number): Meeting {
  const first = blocks[column] as RandomBlock;
  const second = blocks[row] as RandomBlock;
  const entryOf = pairsOf(first.group.levelOf, second.group.levelOf, second.group.levels.length, column === row);
  const { columnLevel, rowLevel } = entryOf;
  const [tall, wide] = [second.effects.length, first.effects.length];
  const values = new Float64Array(columnLevel.length * tall * wide);
  for (let i = 0; i < rows; i++) {
    const from = (entryOf.ofRow[i] as number) * tall;
    for (let r = 0; r < tall; r++) {
      const multiplier = second.multipliers[i * tall + r] as number;
      for (let c = 0; c < wide; c++) {
        const at = (from + r) * wide + c;
        values[at] = (values[at] as number) + multiplier * (first.multipliers[i * wide + c] as number);
      }
    }
  }
  return { column, row, columnLevel, rowLevel, values };
}

/** Numbers the pairs of levels that occur. */
function pairsOf(first: Int32Array, second: Int32Array, width: number, itself: boolean) {
  if (itself) {
    const levels = Int32Array.from({ length: width }, (_, level) => level);
    return { columnLevel: levels, rowLevel: levels, ofRow: first };
  }
  const numberOf = new Map<number, number>();
  const ofRow = new Int32Array(first.length);
  for (let i = 0; i < first.length; i++) {
    const key = (first[i] as number) * width + (second[i] as number);
    let number = numberOf.get(key);
    if (number === undefined) {
      number = numberOf.size;
      numberOf.set(key, number);
    }
    ofRow[i] = number;
  }
  const keys = [...numberOf.keys()];
  return {
    columnLevel: Int32Array.from(keys, (key) => Math.floor(key / width)),
    rowLevel: Int32Array.from(keys, (key) => key % width),
    ofRow,
  };
}
