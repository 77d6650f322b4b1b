import { balancedDesign, isKnown } from './balanced-design';
import { itemNames, options, seedOf, whole } from './check';
import { StatsError } from './errors';
import { evenPlaces } from './even-places';
import { seededRandom } from './seeded-random';
import { shuffled } from './shuffled';

export interface IncompleteBlocksInput {
  items: readonly string[];
  perBlock: number;
  seed?: number | string | undefined;
}

export interface IncompleteBlocksResult {
  blocks: string[][];
  replications: number;
  lambda: number;
}

/** Beyond this nobody could serve the design. */
const mostServings = 20_000;

/**
 * Who hears what where nobody can hear all: the smallest balanced incomplete block design that is known here.
 *
 * Use it where a sitting has room for fewer items than there are; each block is one sitting. Every item is in equally
 * many blocks and every two items meet in equally many, so that all differences are estimated equally well. Places are
 * even too: over the blocks each item stands in each place equally often to within one.
 *
 * @param input.items names, 3 to 1,000, none twice
 * @param input.perBlock items in a block, from 2 to one fewer than there are
 * @param input.seed 32 bits or a text, by default 1: it says which item plays which part, in which sequence the blocks
 *   come and in which order each is heard. The same seed gives the same design; it knows items by their place in `items`
 *   only, so renaming them renames the blocks. It is no secret
 * @returns blocks: the items of each in the order of hearing; replications: blocks that hold an item; lambda: blocks that
 *   hold a pair. Known are all sizes up to 31 items; beyond, blocks of 2, of all but 1 and of all but 2, all designs of up
 *   to 10 replications that are known to exist, and some others
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent, unreachable (no
 *   balanced design of that size is known here), not-supported (more than 20,000 servings)
 *
 * Accuracy: exact; every design is counted in the tests. Smallest means fewest blocks. With b blocks of k, t items, r
 * replications, bk = tr, λ(t − 1) = r(k − 1) and b ≥ t (Fisher 1940) leave no smaller one except where a theorem rules it
 * out or it has never been found: see `baseBlocks`.
 * Source: Cochran & Cox (1957), Experimental Designs, 2nd ed., Table 11.3 (index of plans with up to 10 replications, list
 * from memory); constructions by turning base blocks: Bose (1939), Annals of Eugenics 9:353–399.
 *
 * @example
 * incompleteBlocks({ items: ['A', 'B', 'C', 'D'], perBlock: 3 })
 * // { blocks: [['D', 'B', 'A'], ['C', 'A', 'B'], ['B', 'C', 'D'], ['A', 'D', 'C']], replications: 3, lambda: 2 }
 */
export function incompleteBlocks(input: IncompleteBlocksInput): IncompleteBlocksResult {
  options(input, ['items', 'perBlock', 'seed']);
  const items = itemNames(input.items, 'items');
  if (items.length < 3) {
    throw new StatsError('not-enough-data', 'items', 'has too few entries', '3 to 1000 names', `${items.length} names`);
  }
  const perBlock = whole(input.perBlock, 'perBlock', { min: 2, max: items.length - 1 });
  const random = seededRandom(seedOf(input.seed ?? 1));
  const parts = shuffled(items, random);
  const design = shuffled(designOf(items.length, perBlock), random);
  const blocks = evenPlaces(design, random).map((block) => block.map((part) => parts[part] as string));
  const replications = (blocks.length * perBlock) / items.length;
  return { blocks, replications, lambda: (replications * (perBlock - 1)) / (items.length - 1) };
}

function designOf(items: number, perBlock: number): number[][] {
  // Only the designs of all items or all pairs, and what they leave out, can grow so large.
  const blocks = { 1: items, 2: (items * (items - 1)) / 2 }[Math.min(perBlock, items - perBlock)] ?? 0;
  if (blocks * perBlock > mostServings) {
    const allowed = `designs of up to ${mostServings} servings`;
    throw new StatsError('not-supported', 'items', `would take ${blocks * perBlock} servings`, allowed, items);
  }
  const design = balancedDesign(items, perBlock);
  if (design !== null) return design;
  const sizes = Array.from({ length: items - 2 }, (_, i) => i + 2).filter((size) => isKnown(items, size));
  const wrong = `no balanced design of ${items} items in blocks of ${perBlock} is known here`;
  throw new StatsError('unreachable', 'perBlock', wrong, `blocks of ${sizes.join(', ')}`, perBlock);
}
