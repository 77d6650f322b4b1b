/**
 * The shape of a symmetric matrix made of small dense blocks, and of its Cholesky factor: worked out once, used for every
 * set of numbers.
 *
 * Nodes are eliminated in the order in which they are numbered. Eliminating one joins all its later neighbours, so that
 * the rows below a node are its own neighbours and those that its children in the elimination tree hand on.
 *
 * Source: Davis (2006), Direct Methods for Sparse Linear Systems, chapter 4 (elimination tree, column patterns).
 */
export interface BlockPattern {
  /** First scalar column of each node, and the number of all columns at the end. */
  readonly first: Int32Array;
  /** Where each scalar column's entries begin, the diagonal first, rows ascending; the number of all at the end. */
  readonly columnStart: Int32Array;
  readonly rowOf: Int32Array;
  /** Row j's entries left of the diagonal: where they begin, in which column each stands, and at which place. */
  readonly rowStart: Int32Array;
  readonly columnAt: Int32Array;
  readonly placeAt: Int32Array;
}

/**
 * @param sizes scalar columns of each node
 * @param later for each node the later nodes that it shares an entry with, in any order, none twice
 */
export function blockPattern(sizes: Int32Array, later: readonly (readonly number[])[]): BlockPattern {
  const nodes = sizes.length;
  const first = new Int32Array(nodes + 1);
  for (let j = 0; j < nodes; j++) first[j + 1] = (first[j] as number) + (sizes[j] as number);
  const below = eliminated(nodes, later);
  const columns = first[nodes] as number;
  const columnStart = new Int32Array(columns + 1);
  let entries = 0;
  for (let j = 0; j < nodes; j++) {
    const size = sizes[j] as number;
    let rows = 0;
    for (const i of below[j] as Int32Array) rows += sizes[i] as number;
    for (let c = 0; c < size; c++) {
      columnStart[(first[j] as number) + c] = entries;
      entries += size - c + rows;
    }
  }
  columnStart[columns] = entries;
  const rowOf = new Int32Array(entries);
  for (let j = 0; j < nodes; j++) {
    const size = sizes[j] as number;
    for (let c = 0; c < size; c++) {
      let place = columnStart[(first[j] as number) + c] as number;
      for (let r = c; r < size; r++) rowOf[place++] = (first[j] as number) + r;
      for (const i of below[j] as Int32Array) {
        for (let r = 0; r < (sizes[i] as number); r++) rowOf[place++] = (first[i] as number) + r;
      }
    }
  }
  return { first, columnStart, rowOf, ...byRows(columnStart, rowOf) };
}

/** For each node the rows below its diagonal block in the factor, ascending. */
function eliminated(nodes: number, later: readonly (readonly number[])[]): Int32Array[] {
  const below: Int32Array[] = [];
  const children: number[][] = Array.from({ length: nodes }, () => []);
  const seen = new Int32Array(nodes).fill(-1);
  for (let j = 0; j < nodes; j++) {
    const rows: number[] = [];
    seen[j] = j;
    const add = (i: number) => {
      if (seen[i] === j) return;
      seen[i] = j;
      rows.push(i);
    };
    for (const i of later[j] as readonly number[]) add(i);
    for (const child of children[j] as number[]) (below[child] as Int32Array).forEach(add);
    const sorted = Int32Array.from(rows).sort();
    below.push(sorted);
    if (sorted.length > 0) (children[sorted[0] as number] as number[]).push(j);
  }
  return below;
}

function byRows(columnStart: Int32Array, rowOf: Int32Array) {
  const columns = columnStart.length - 1;
  const rowStart = new Int32Array(columns + 1);
  for (let k = 0; k < columns; k++) {
    for (let p = (columnStart[k] as number) + 1; p < (columnStart[k + 1] as number); p++) {
      const at = (rowOf[p] as number) + 1;
      rowStart[at] = (rowStart[at] as number) + 1;
    }
  }
  for (let j = 0; j < columns; j++) rowStart[j + 1] = (rowStart[j + 1] as number) + (rowStart[j] as number);
  const next = rowStart.slice();
  const columnAt = new Int32Array(rowStart[columns] as number);
  const placeAt = new Int32Array(rowStart[columns] as number);
  for (let k = 0; k < columns; k++) {
    for (let p = (columnStart[k] as number) + 1; p < (columnStart[k + 1] as number); p++) {
      const row = rowOf[p] as number;
      const at = next[row] as number;
      columnAt[at] = k;
      placeAt[at] = p;
      next[row] = at + 1;
    }
  }
  return { rowStart, columnAt, placeAt };
}
