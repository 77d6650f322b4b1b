import { baseBlocks } from './base-blocks';

/**
 * The smallest balanced incomplete block design known here, items being 0 … items − 1: every block holds `perBlock` of
 * them, none twice, and every two items meet in equally many blocks. `null` where none is known.
 *
 * Blocks of 1 and 2 are all there are; others come from `baseBlocks`; blocks of more than half of the items hold what
 * the blocks of a smaller design leave out, which keeps the balance and the number of blocks.
 */
export function balancedDesign(items: number, perBlock: number): number[][] | null {
  if (perBlock < 1 || perBlock >= items) return null;
  const all = Array.from({ length: items }, (_, item) => item);
  if (2 * perBlock > items) {
    const others = balancedDesign(items, items - perBlock);
    if (others === null) return null;
    return others.map((block) => {
      const out = new Set(block);
      return all.filter((item) => !out.has(item));
    });
  }
  if (perBlock === 1) return all.map((item) => [item]);
  if (perBlock === 2) return all.flatMap((a) => all.slice(a + 1).map((b) => [a, b]));
  const known = baseBlocks[`${items}/${perBlock}`];
  return known === undefined ? null : developed(items, known);
}

/** Whether `balancedDesign` knows one. */
export function isKnown(items: number, perBlock: number): boolean {
  const smaller = Math.min(perBlock, items - perBlock);
  return smaller >= 1 && (smaller <= 2 || baseBlocks[`${items}/${smaller}`] !== undefined);
}

/** Each base block and what turning makes of it, as often as it gives a new one. */
function developed(items: number, known: string): number[][] {
  const [turned = '', bases = ''] = known.split(': ');
  const cycle = Number(turned);
  const turning = items - (items % cycle);
  const blocks: number[][] = [];
  for (const base of bases.split(', ')) {
    const seen = new Set<string>();
    for (let turn = 0; turn < cycle; turn++) {
      const block = base.split(' ').map((entry) => {
        const item = Number(entry);
        return item < turning ? item - (item % cycle) + (((item % cycle) + turn) % cycle) : item;
      });
      const name = [...block].sort((a, b) => a - b).join(' ');
      if (seen.has(name)) break;
      seen.add(name);
      blocks.push(block);
    }
  }
  return blocks;
}
