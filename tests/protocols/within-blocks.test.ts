import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type BlockedRow, withinBlocks } from '../../protocols/within-blocks';
import { seededRandom } from '../../stats/seeded-random';

/** `a1 a2 b3 b4`: group and value. */
const block = (name: string, words: string): BlockedRow[] =>
  words.split(' ').map((word) => ({ block: name, group: word.charAt(0), value: Number(word.slice(1)) }));

describe('by hand', () => {
  test('one block: 2 of the 6 ways to deal four figures to two groups are as far out', () => {
    const found = withinBlocks(block('x', 'a1 a2 b3 b4'), 'hand');
    // Scores −0.3, −0.1, 0.1, 0.3: 0.4² / 2 for each group.
    expect(found?.statistic).toBeCloseTo(0.16, 12);
    expect(found).toMatchObject({ n: 4, couldFind: false });
    expect(found?.p).toBeCloseTo(1 / 3, 1);
  });

  test('three blocks that agree: 2 of 216', () => {
    const rows = ['x', 'y', 'z'].flatMap((name, i) => block(name, `a${i} a${i + 1} b${i + 2} b${i + 9}`));
    const found = withinBlocks(rows, 'hand');
    expect(found?.statistic).toBeCloseTo((2 * 1.2 ** 2) / 6, 12);
    expect(Math.abs((found?.p ?? 1) - 2 / 216)).toBeLessThan(0.004);
    expect(found?.couldFind).toBe(true);
  });

  test('what differs between blocks only is taken off', () => {
    const found = withinBlocks([...block('x', 'a1 b2 a3 b4'), ...block('y', 'b101 a102 b103 a104')], 'hand');
    expect(found?.statistic).toBeCloseTo(0, 12);
    expect(found?.p).toBe(1);
  });
});

test('nothing to compare, nothing that differs', () => {
  expect(withinBlocks([], 'x')).toBeNull();
  expect(withinBlocks([...block('x', 'a1 a2'), ...block('y', 'b5')], 'x')).toBeNull();
  expect(withinBlocks(block('x', 'a7 b7 a7 b7'), 'x')).toMatchObject({ p: 1, statistic: 0, permutations: 0 });
  // A block of one group is none of the rows that count.
  expect(withinBlocks([...block('x', 'a1 b2'), ...block('y', 'b5 b6')], 'x')?.n).toBe(2);
});

const figures = fc.array(
  fc.record({
    block: fc.constantFrom('x', 'y', 'z'),
    group: fc.constantFrom('a', 'b', 'c'),
    value: fc.integer({ min: 0, max: 6 }),
  }),
  { maxLength: 24 },
);

test('p is a share, the same each time, and asks for ranks alone', () => {
  fc.assert(
    fc.property(figures, (rows) => {
      const found = withinBlocks(rows, 'seed');
      expect(withinBlocks(rows, 'seed')).toEqual(found);
      expect(
        withinBlocks(
          rows.map((row) => ({ ...row, value: Math.exp(row.value) })),
          'seed',
        ),
      ).toEqual(found);
      if (!found) return;
      expect(found.p).toBeGreaterThan(0);
      expect(found.p).toBeLessThanOrEqual(1);
      expect(found.permutations === 0 || found.p >= 1 / (found.permutations + 1)).toBe(true);
    }),
    { numRuns: 60 },
  );
});

test('where nothing differs, about one study in twenty comes out below 0.05', () => {
  const random = seededRandom('null studies');
  let below = 0;
  const studies = 400;
  for (let study = 0; study < studies; study++) {
    const rows = ['w', 'x', 'y', 'z'].flatMap((name) =>
      [...'aabbcc'].map((group) => ({ block: name, group, value: random.below(20) })),
    );
    if ((withinBlocks(rows, `study ${study}`)?.p ?? 1) < 0.05) below++;
  }
  // 20 are expected, with a standard deviation of 4.4.
  expect(below).toBeGreaterThanOrEqual(7);
  expect(below).toBeLessThanOrEqual(34);
});
