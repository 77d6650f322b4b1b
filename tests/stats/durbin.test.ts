import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fUpper } from '../../stats/distributions';
import { type DurbinInput, durbin } from '../../stats/durbin';
import { friedman } from '../../stats/friedman';
import { counted, tiedScores } from './rank-support';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  DurbinInput,
  { chiSquare: number; degreesOfFreedom: number; p: number; f: number; fP: number; rankSums: number[] }
>;

test.each(references<Case[]>('durbin'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const got = durbin(inputs);
  for (const name of ['chiSquare', 'degreesOfFreedom', 'p', 'f', 'fP'] as const) {
    expectClose(got[name], expected[name], tolerance, `${id} ${name}`);
    // From memory, as the case says.
    const printed = published?.[name];
    if (printed) expectClose(got[name], printed.value, { relative: 0, absolute: printed.tolerance }, `printed ${name}`);
  }
  expect(got.rankSums).toEqual(expected.rankSums);
});

/** Balanced plans that are known: blocks of columns from 1. */
const plans: { items: number; together: number; blocks: number[][] }[] = [
  {
    items: 3,
    together: 1,
    blocks: [
      [1, 2],
      [1, 3],
      [2, 3],
    ],
  },
  {
    items: 4,
    together: 2,
    blocks: [
      [1, 2, 3],
      [1, 2, 4],
      [1, 3, 4],
      [2, 3, 4],
    ],
  },
  {
    items: 7,
    together: 1,
    blocks: [
      [1, 2, 4],
      [2, 3, 5],
      [3, 4, 6],
      [4, 5, 7],
      [5, 6, 1],
      [6, 7, 2],
      [7, 1, 3],
    ],
  },
];

const planned = fc
  .tuple(
    fc.constantFrom(...plans),
    fc.integer({ min: 1, max: 2 }),
    fc.array(fc.integer({ min: 0, max: 3 }), { minLength: 42, maxLength: 42 }),
  )
  .map(([{ items, together, blocks }, times, cells]) => {
    const all = Array.from({ length: times }, () => blocks).flat();
    const scores = all.map((block, i) => {
      const row = new Array<number | null>(items).fill(null);
      block.forEach((item, place) => {
        row[item - 1] = cells[(i * block.length + place) % cells.length] as number;
      });
      return row;
    });
    return { items, together: together * times, size: blocks[0]?.length ?? 0, scores };
  });

/** Ranks within each block by counting, null where not served. */
const ranked = (scores: (number | null)[][]) =>
  scores.map((row) => {
    const ranks = counted(row.filter((one) => one !== null));
    return row.map((one) => (one === null ? null : (ranks.shift() as number)));
  });

test('T₂ is the F of the intra-block analysis of variance of the ranks, with ties and without', () => {
  let tested = 0;
  fc.assert(
    fc.property(planned, ({ items, together, size, scores }) => {
      const ranks = ranked(scores);
      const mean = (size + 1) / 2;
      const within = ranks.flat().reduce<number>((sum, rank) => sum + (rank === null ? 0 : (rank - mean) ** 2), 0);
      // Adjusted totals: all blocks have the same sum of ranks, so each is the rank sum less its expectation.
      const adjusted = Array.from({ length: items }, (_, j) =>
        ranks.reduce((sum, row) => sum + (row[j] == null ? 0 : (row[j] as number) - mean), 0),
      );
      const explained = (size * adjusted.reduce((sum, q) => sum + q * q, 0)) / (together * items);
      const df = scores.length * (size - 1) - (items - 1);
      if (within === 0 || within - explained < 1e-9) return;
      tested++;
      const got = durbin({ scores, higherIsBetter: false });
      const f = explained / (items - 1) / ((within - explained) / df);
      const close = { relative: 1e-9, absolute: 1e-12 };
      expectClose(got.f, f, close, 'f');
      expectClose(got.fP, fUpper(f, items - 1, df), close, 'fP');
      expectClose(got.chiSquare, (scores.length * (size - 1) * explained) / within, close, 'chi-square');
    }),
    { seed: 51, numRuns: 150 },
  );
  expect(tested).toBeGreaterThan(100);
});

test('without ties it is Durbin’s own formula', () => {
  // Seven items in blocks of three, three servings of each: 12(t − 1)/(rt(k² − 1))·ΣR² − 3(t − 1)r(k + 1)/(k − 1).
  const scores = (plans[2]?.blocks ?? []).map((block, i) => {
    const row = new Array<number | null>(7).fill(null);
    block.forEach((item, place) => {
      row[item - 1] = (place * 5 + i) % 3;
    });
    return row;
  });
  const { rankSums, chiSquare } = durbin({ scores });
  const squares = rankSums.reduce((sum, one) => sum + one * one, 0);
  expectClose(
    chiSquare,
    ((12 * 6) / (3 * 7 * 8)) * squares - (3 * 6 * 3 * 4) / 2,
    { relative: 1e-12, absolute: 1e-12 },
    'T₁',
  );
});

test('complete blocks are Friedman’s test', () => {
  fc.assert(
    fc.property(tiedScores, fc.boolean(), (scores, higherIsBetter) => {
      const { kendallW: _, ...expected } = friedman({ scores, higherIsBetter });
      expect(durbin({ scores, higherIsBetter })).toEqual(expected);
    }),
    { seed: 52, numRuns: 100 },
  );
});

test('blocks in any order, items in any order, either end as the best: the same test', () => {
  let compared = 0;
  fc.assert(
    fc.property(planned, ({ size, scores, items }) => {
      let straight: ReturnType<typeof durbin>;
      try {
        straight = durbin({ scores });
      } catch (error) {
        // Ties only, or ranks that the items explain in full.
        expect(error).toMatchObject({ code: 'no-variation' });
        return;
      }
      compared++;
      const { rankSums, ...verdict } = straight;
      expect(durbin({ scores: [...scores].reverse() })).toEqual(straight);
      const turned = durbin({ scores: scores.map((row) => [...row].reverse()) });
      expect(turned).toEqual({ ...verdict, rankSums: [...rankSums].reverse() });
      const servings = (scores.length * size) / items;
      const other = durbin({ scores, higherIsBetter: false });
      expect(other).toEqual({ ...verdict, rankSums: rankSums.map((sum) => servings * (size + 1) - sum) });
    }),
    { seed: 53, numRuns: 100 },
  );
  expect(compared).toBeGreaterThan(80);
});

test('a plan that is not balanced is refused, and the message says in what', () => {
  const gap = null;
  const size = [
    [1, 2, gap],
    [1, 2, 3],
    [gap, 1, 2],
  ];
  expect(expectRefused(() => durbin({ scores: size }), 'inconsistent', 'scores.1').message).toContain('another size');
  const servings = [
    [1, 2, gap],
    [1, 2, gap],
    [gap, 1, 2],
  ];
  expect(expectRefused(() => durbin({ scores: servings }), 'inconsistent', 'scores').message).toContain(
    'item 2 3 times',
  );
  const never = [
    [1, 2, gap],
    [1, 2, gap],
  ];
  expect(expectRefused(() => durbin({ scores: never }), 'inconsistent', 'scores').message).toContain('item 3 0 times');
  // Each item twice, but 1 and 2 always together.
  const meetings = [
    [1, 2, gap, gap],
    [2, 1, gap, gap],
    [gap, gap, 1, 2],
    [gap, gap, 2, 1],
  ];
  expect(expectRefused(() => durbin({ scores: meetings }), 'inconsistent', 'scores').message).toContain(
    'items 1 and 3 0 times, items 1 and 2 2 times',
  );
});

test('nothing to rank, or agreement that leaves F nothing to divide by', () => {
  expectRefused(
    () =>
      durbin({
        scores: cells('1 1 null, 1 null 1, null 1 1'),
      }),
    'no-variation',
    'scores',
  );
  expect(
    durbin({
      scores: [
        [1, 2, 3],
        [1, 2, 3],
      ],
    }),
  ).toMatchObject({ f: null, chiSquare: 4, fP: 1 / 6 });
  // The first item always last, the others tied: the ranks are all explained.
  const explained = [
    [1, 2, null],
    [1, null, 2],
    [null, 2, 2],
  ];
  expectRefused(() => durbin({ scores: explained }), 'no-variation', 'scores');
});

test('what doesn’t fit names its field', () => {
  expectRefused(() => durbin({ scores: [[1, 2]] }), 'not-enough-data', 'scores');
  expectRefused(
    () =>
      durbin({
        scores: cells('1 null, null 1'),
      }),
    'not-enough-data',
    'scores.0',
  );
  expectRefused(
    () =>
      durbin({
        scores: cells('1 2 3, 1 2'),
      }),
    'inconsistent',
    'scores.1',
  );
  expectRefused(
    () =>
      durbin({
        scores: cells('1 2, 1 NaN'),
      }),
    'wrong-type',
    'scores.1.1',
  );
  expectRefused(
    () =>
      durbin({
        scores: cells('1 2, 1 undefined'),
      }),
    'missing',
    'scores.1.1',
  );
  expectRefused(
    () =>
      durbin({
        scores: cells('1 2, 2 1'),
        permutations: 100,
      } as never),
    'unknown-option',
    'permutations',
  );
});
