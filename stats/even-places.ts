import { type Draw, shuffled } from './shuffled';

/**
 * Orders the items within blocks so that places are even: over all blocks each item stands in each place equally often
 * to within one. Which of the many such orders it is, chance decides.
 *
 * Blocks and items make a graph whose edges are coloured by places, no place twice in a block: an item with more blocks
 * than places counts as several items of at most that many blocks each, and then a colouring with as many colours as
 * places exists and is found by swapping two colours along a path (König 1916, Mathematische Annalen 77:453–465; the
 * splitting after de Werra 1971).
 *
 * @param blocks items (whole numbers from 0) of each block, none twice in a block, all blocks of the same size
 */
export function evenPlaces(blocks: readonly (readonly number[])[], random: Draw): number[][] {
  const places = blocks[0]?.length ?? 0;
  const uses = new Map<number, number>();
  // An end of an edge is a table from place to the edge's other end: a block's to parts of items, a part's to blocks.
  const ofBlock = blocks.map(() => new Array<number>(places).fill(none));
  const parts: { item: number; at: number[] }[] = [];
  const openPart = new Map<number, number>();
  const edges = shuffled(
    blocks.flatMap((block, row) => block.map((item) => [row, item] as const)),
    random,
  );
  for (const [row, item] of edges) {
    const used = uses.get(item) ?? 0;
    uses.set(item, used + 1);
    if (used % places === 0) openPart.set(item, parts.push({ item, at: new Array<number>(places).fill(none) }) - 1);
    const part = openPart.get(item) as number;
    colour(row, part, ofBlock, parts, random.below(places));
  }
  return ofBlock.map((row) => row.map((part) => (parts[part] as { item: number }).item));
}

const none = -1;

/** Gives the edge between a block and a part a place free at both ends, after freeing one where need be. */
function colour(
  row: number,
  part: number,
  ofBlock: readonly number[][],
  parts: readonly { at: number[] }[],
  first: number,
): void {
  const here = ofBlock[row] as number[];
  const there = (parts[part] as { at: number[] }).at;
  const places = here.length;
  const from = (test: (place: number) => boolean) => {
    for (let i = 0; i < places; i++) if (test((first + i) % places)) return (first + i) % places;
    return none;
  };
  const both = from((place) => here[place] === none && there[place] === none);
  const place = both === none ? from((one) => here[one] === none) : both;
  if (both === none) {
    // Along the path from the part whose edges are by turns at `place` and at `other`, the two are exchanged. It can't
    // end at this block, which lacks `place` and would be entered by it.
    const other = from((one) => there[one] === none);
    exchange(part, place, other, ofBlock, parts);
  }
  here[place] = part;
  there[place] = row;
}

function exchange(
  start: number,
  place: number,
  other: number,
  ofBlock: readonly number[][],
  parts: readonly { at: number[] }[],
): void {
  const path: [row: number, part: number, at: number][] = [];
  let part = start;
  for (;;) {
    const row = (parts[part] as { at: number[] }).at[place] as number;
    if (row === none) break;
    path.push([row, part, place]);
    const next = (ofBlock[row] as number[])[other] as number;
    if (next === none) break;
    path.push([row, next, other]);
    part = next;
  }
  const set = (row: number, at: number, p: number, value: [number, number]) => {
    (ofBlock[row] as number[])[at] = value[0];
    (parts[p] as { at: number[] }).at[at] = value[1];
  };
  for (const [row, p, at] of path) set(row, at, p, [none, none]);
  for (const [row, p, at] of path) set(row, at === place ? other : place, p, [p, row]);
}
