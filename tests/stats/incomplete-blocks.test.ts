import fc from 'fast-check';
import { expect, test } from 'vitest';
import { incompleteBlocks } from '../../stats/incomplete-blocks';
import { expectRefused, type ReferenceCase, references } from './support';

const names = (n: number) => Array.from({ length: n }, (_, i) => `item ${i}`);

/** What a design is, counted by name; `null` where replications or meetings differ. */
function counted(blocks: readonly (readonly string[])[]) {
  const items = [...new Set(blocks.flat())];
  const holding = (...wanted: string[]) => blocks.filter((block) => wanted.every((one) => block.includes(one))).length;
  const only = (counts: number[]) => (new Set(counts).size === 1 ? counts[0] : null);
  return {
    items: items.length,
    blocks: blocks.length,
    perBlock: only(blocks.map((block) => block.length)),
    replications: only(items.map((item) => holding(item))),
    lambda: only(items.flatMap((a, i) => items.slice(i + 1).map((b) => holding(a, b)))),
    binary: blocks.every((block) => new Set(block).size === block.length),
  };
}

interface Numbers {
  items: number;
  blocks: number;
  perBlock: number;
  replications: number;
  lambda: number;
  binary: boolean;
}
type Printed = ReferenceCase<{ blocks: string[][] }, Numbers>;
interface List {
  id: string;
  inputs: { items: number[]; perBlock: number[] };
  expected: { blocks: number[]; replications: number[]; lambda: number[] };
}
const cases = references<(Printed | List)[]>('incomplete-blocks');
const isList = (one: Printed | List): one is List => 'items' in one.inputs;

test.each(cases.filter((one): one is Printed => !isList(one)))('$id', ({ inputs, expected }) => {
  // The counting of this test is right on a design from elsewhere, and the call's own has the same numbers.
  expect(counted(inputs.blocks)).toEqual(expected);
  const own = incompleteBlocks({ items: names(expected.items), perBlock: expected.perBlock });
  expect(counted(own.blocks)).toEqual(expected);
  expect(own).toMatchObject({ replications: expected.replications, lambda: expected.lambda });
});

test.each(cases.filter(isList))('$id', ({ inputs, expected }) => {
  inputs.items.forEach((items, i) => {
    const perBlock = inputs.perBlock[i] as number;
    const { blocks, replications, lambda } = incompleteBlocks({ items: names(items), perBlock });
    expect([items, perBlock, blocks.length, replications, lambda]).toEqual([
      items,
      perBlock,
      expected.blocks[i],
      expected.replications[i],
      expected.lambda[i],
    ]);
  });
});

test.each([
  // Cochran & Cox (1957), Table 11.3 (from memory): items, per block, blocks, replications, λ.
  [21, 5, 21, 5, 1],
  [19, 9, 19, 9, 4],
  [16, 10, 16, 10, 6],
  [28, 4, 63, 9, 1],
  [28, 7, 36, 9, 2],
  [37, 9, 37, 9, 2],
  [41, 5, 82, 10, 1],
  [49, 7, 56, 8, 1],
  [57, 8, 57, 8, 1],
  [64, 8, 72, 9, 1],
  [73, 9, 73, 9, 1],
  [81, 9, 90, 10, 1],
  [91, 10, 91, 10, 1],
])('%d items in blocks of %d', (items, perBlock, blocks, replications, lambda) => {
  const got = incompleteBlocks({ items: names(items), perBlock });
  expect([got.blocks.length, got.replications, got.lambda]).toEqual([blocks, replications, lambda]);
  expect(counted(got.blocks)).toEqual({ items, perBlock, blocks, replications, lambda, binary: true });
});

const size = fc
  .integer({ min: 3, max: 16 })
  .chain((items) => fc.tuple(fc.constant(items), fc.integer({ min: 2, max: items - 1 })));
const anySeed = fc.integer({ min: 0, max: 0xffffffff });

test('any size and any seed: balanced, places even to within one', () => {
  fc.assert(
    fc.property(size, anySeed, ([items, perBlock], seed) => {
      const { blocks, replications, lambda } = incompleteBlocks({ items: names(items), perBlock, seed });
      expect(counted(blocks)).toEqual({ items, perBlock, blocks: blocks.length, replications, lambda, binary: true });
      for (const item of names(items)) {
        const places = Array.from({ length: perBlock }, (_, at) => blocks.filter((block) => block[at] === item).length);
        expect(Math.max(...places) - Math.min(...places)).toBeLessThanOrEqual(1);
      }
    }),
    { seed: 1, numRuns: 60 },
  );
});

test('the same seed gives the same design, another one another; renaming renames and changes nothing else', () => {
  fc.assert(
    fc.property(size, anySeed, ([n, perBlock], seed) => {
      const got = incompleteBlocks({ items: names(n), perBlock, seed });
      expect(incompleteBlocks({ items: names(n), perBlock, seed })).toEqual(got);
      const renamed = incompleteBlocks({ items: names(n).map((name) => `${name}, renamed`), perBlock, seed });
      expect(renamed.blocks).toEqual(got.blocks.map((block) => block.map((name) => `${name}, renamed`)));
    }),
    { seed: 2, numRuns: 60 },
  );
  const designs = Array.from({ length: 20 }, (_, seed) => incompleteBlocks({ items: names(7), perBlock: 3, seed }));
  expect(new Set(designs.map((one) => JSON.stringify(one.blocks))).size).toBe(20);
});

test('over seeds each item is as likely as every other to open the first block', () => {
  const seeds = 3000;
  let first = 0;
  for (let seed = 0; seed < seeds; seed++) {
    if (incompleteBlocks({ items: names(4), perBlock: 3, seed }).blocks[0]?.[0] === 'item 0') first++;
  }
  expect(Math.abs(first - seeds / 4)).toBeLessThan(4 * Math.sqrt((seeds * 3) / 16));
});

test('a size that is not known is an error that says so and names those that are', () => {
  const error = expectRefused(() => incompleteBlocks({ items: names(46), perBlock: 6 }), 'unreachable', 'perBlock');
  expect(error.message).toContain('no balanced design of 46 items in blocks of 6 is known here');
  expect(error.allowed).toBe('blocks of 2, 44, 45');
  expectRefused(() => incompleteBlocks({ items: names(46), perBlock: 40 }), 'unreachable', 'perBlock');
  expectRefused(() => incompleteBlocks({ items: names(1000), perBlock: 2 }), 'not-supported', 'items');
  expect(incompleteBlocks({ items: names(141), perBlock: 2 }).blocks).toHaveLength((141 * 140) / 2);
});

test('says what is wrong', () => {
  const items = names(7);
  expectRefused(() => incompleteBlocks({ items, perBlock: 7 }), 'out-of-range', 'perBlock');
  expectRefused(() => incompleteBlocks({ items, perBlock: 1 }), 'out-of-range', 'perBlock');
  expectRefused(() => incompleteBlocks({ items, perBlock: 2.5 }), 'wrong-type', 'perBlock');
  expectRefused(() => incompleteBlocks({ items, perBlock: Number.NaN }), 'wrong-type', 'perBlock');
  expectRefused(() => incompleteBlocks({ items } as never), 'missing', 'perBlock');
  expectRefused(() => incompleteBlocks({ items: ['A', 'B'], perBlock: 2 }), 'not-enough-data', 'items');
  expectRefused(() => incompleteBlocks({ items: ['A', 'B', 'B'], perBlock: 2 }), 'inconsistent', 'items.2');
  expectRefused(() => incompleteBlocks({ items: 7 as never, perBlock: 3 }), 'wrong-type', 'items');
  expectRefused(() => incompleteBlocks({ items, perBlock: 3, seed: 1.5 }), 'wrong-type', 'seed');
  expectRefused(() => incompleteBlocks({ items, perblock: 3 } as never), 'unknown-option', 'perblock');
});
