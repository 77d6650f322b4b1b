import fc from 'fast-check';
import { expect, test } from 'vitest';
import { evenPlaces } from '../../stats/even-places';
import { seededRandom } from '../../stats/seeded-random';
import { shuffled } from '../../stats/shuffled';

/** Any blocks of equal size, balanced or not. */
const someBlocks = fc
  .record({
    items: fc.integer({ min: 1, max: 9 }),
    count: fc.integer({ min: 1, max: 40 }),
    seed: fc.integer({ min: 0, max: 1e6 }),
    size: fc.integer({ min: 1, max: 9 }),
  })
  .map(({ items, count, seed, size }) => {
    const random = seededRandom(seed);
    const all = Array.from({ length: items }, (_, i) => i);
    return Array.from({ length: count }, () => shuffled(all, random).slice(0, size));
  });

test('blocks keep their items, and every item stands in every place equally often to within one', () => {
  fc.assert(
    fc.property(someBlocks, fc.integer({ min: 0, max: 1e6 }), (blocks, seed) => {
      const ordered = evenPlaces(blocks, seededRandom(seed));
      expect(ordered.map((block) => [...block].sort())).toEqual(blocks.map((block) => [...block].sort()));
      for (const item of new Set(blocks.flat())) {
        const places = ordered[0]?.map((_, place) => ordered.filter((block) => block[place] === item).length) ?? [];
        expect(Math.max(...places) - Math.min(...places)).toBeLessThanOrEqual(1);
      }
    }),
    { seed: 1, numRuns: 200 },
  );
});

test('chance decides: both ways to order the pairs of three items evenly come up', () => {
  const pairs = [
    [0, 1],
    [0, 2],
    [1, 2],
  ];
  const seen = new Set<string>();
  for (let seed = 0; seed < 60; seed++) seen.add(JSON.stringify(evenPlaces(pairs, seededRandom(seed))));
  // Each item first once and second once: the two ways round the circle.
  expect([...seen].sort()).toEqual(['[[0,1],[2,0],[1,2]]', '[[1,0],[0,2],[2,1]]']);
  expect(evenPlaces([], seededRandom(1))).toEqual([]);
});
