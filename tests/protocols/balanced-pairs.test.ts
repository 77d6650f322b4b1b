import { describe, expect, test } from 'vitest';
import { allPairs, balancedPairs, orientedPairs, type Pair, pairKey } from '../../protocols/balanced-pairs';
import { randomnessOf } from '../../server/blinding/randomness';

const randomness = (seed: number) => randomnessOf(Buffer.alloc(32, seed), 1);
const spread = (counts: Iterable<number>) => {
  const all = [...counts];
  return Math.max(...all) - Math.min(...all);
};

test('all pairs of four, by hand', () => {
  expect(allPairs(4)).toEqual([
    [0, 1],
    [0, 2],
    [0, 3],
    [1, 2],
    [1, 3],
    [2, 3],
  ]);
  expect(allPairs(1)).toEqual([]);
});

test.each([2, 3, 4, 5, 6, 7, 8])('on a circle of %d no item leads more than one pair more than another', (n) => {
  const oriented = orientedPairs(Array.from({ length: n }, (_, i) => i));
  expect(oriented.size).toBe((n * (n - 1)) / 2);
  const leads = Array.from(
    { length: n },
    (_, item) => [...oriented.values()].filter(([first]) => first === item).length,
  );
  expect(spread(leads)).toBe(n % 2 === 1 ? 0 : 1);
});

describe.each([2, 3, 4, 5, 6, 7, 8])('%d prototypes', (items) => {
  test.each([1, 2, 3])('%d repeats: equal to within one for 1 to 20 listeners', (repeats) => {
    const pairs = allPairs(items);
    const firstOf = new Map<string, number>();
    const lead = new Array<number>(items).fill(0);
    const place = new Map<string, number>();
    for (let ordinal = 1; ordinal <= 20; ordinal++) {
      const sequence = balancedPairs(items, repeats, ordinal, randomness(items * 8 + repeats));
      const where = `after ${ordinal} listeners`;
      expect(sequence).toHaveLength(pairs.length * repeats);
      sequence.forEach(([a, b], index) => {
        const key = pairKey(a, b);
        firstOf.set(key, (firstOf.get(key) ?? 0) + (a < b ? 1 : -1));
        lead[a] = (lead[a] as number) + 1;
        lead[b] = (lead[b] as number) - 1;
        place.set(`${index} ${key}`, (place.get(`${index} ${key}`) ?? 0) + 1);
      });
      // Within each pair: lower first less higher first.
      expect(
        [...firstOf.values()].every((net) => Math.abs(net) <= 1),
        where,
      ).toBe(true);
      // For each prototype: times first less times second.
      expect(
        lead.every((net) => Math.abs(net) <= 1),
        where,
      ).toBe(true);
      for (let index = 0; index < sequence.length; index++) {
        const counts = pairs.map(([a, b]) => place.get(`${index} ${pairKey(a, b)}`) ?? 0);
        expect(spread(counts), `${where}, place ${index}`).toBeLessThanOrEqual(1);
      }
      checkOne(sequence, pairs.length, repeats);
    }
  });
});

/** One listener: every pair once in each round, the one way and then the other, and never twice running. */
function checkOne(sequence: Pair[], m: number, repeats: number): void {
  for (let repeat = 0; repeat < repeats; repeat++) {
    const round = sequence.slice(repeat * m, (repeat + 1) * m);
    expect(new Set(round.map(([a, b]) => pairKey(a, b))).size).toBe(m);
  }
  for (let repeat = 1; repeat < repeats; repeat += 2) {
    const way = (round: number) =>
      sequence
        .slice(round * m, (round + 1) * m)
        .map(String)
        .sort();
    expect(way(repeat)).toEqual(
      way(repeat - 1)
        .map((pair) => pair.split(',').reverse().join())
        .sort(),
    );
  }
  if (m > 1) {
    for (let i = 1; i < sequence.length; i++) {
      const [before, after] = [sequence[i - 1] as Pair, sequence[i] as Pair];
      expect(pairKey(...before)).not.toBe(pairKey(...after));
    }
  }
}

test('what comes first can’t be told in advance: over seeds, each way round about half the time', () => {
  let lowFirst = 0;
  for (let seed = 0; seed < 250; seed++) {
    const [[a, b] = [0, 0]] = balancedPairs(3, 1, 1, randomness(seed));
    if (a < b) lowFirst++;
  }
  expect(Math.abs(lowFirst - 125)).toBeLessThan(4 * Math.sqrt(250 / 4));
});
