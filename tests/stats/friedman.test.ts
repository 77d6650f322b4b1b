import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type FriedmanInput, friedman } from '../../stats/friedman';
import { seededRandom } from '../../stats/seeded-random';
import { column, counted, shuffles, tiedScores, varianceOfRanks } from './rank-support';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  FriedmanInput,
  {
    chiSquare: number;
    degreesOfFreedom: number;
    p: number;
    f: number;
    fP: number;
    rankSums: number[];
    kendallW: number;
    chiSquareUncorrected: number;
    pExact?: number;
  }
>;

test.each(references<Case[]>('friedman'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const got = friedman(inputs);
  for (const name of ['chiSquare', 'degreesOfFreedom', 'p', 'f', 'fP', 'kendallW'] as const) {
    expectClose(got[name], expected[name], tolerance, `${id} ${name}`);
  }
  expect(got.rankSums).toEqual(expected.rankSums);
  const n = inputs.scores.length;
  const k = got.rankSums.length;
  const uncorrected =
    (12 * got.rankSums.reduce((sum, rank) => sum + rank ** 2, 0)) / (n * k * (k + 1)) - 3 * n * (k + 1);
  expectClose(uncorrected, expected.chiSquareUncorrected, tolerance, `${id} rank sums`);
  // Printed values, those of Demšar from memory, as the case says; his χ² is the one without correction.
  const shown: Record<string, number> = { chiSquare: got.chiSquare, p: got.p, chiSquareUncorrected: uncorrected };
  got.rankSums.forEach((sum, j) => {
    shown[`meanRank${j + 1}`] = sum / n;
  });
  for (const [name, printed] of Object.entries(published ?? {})) {
    expectClose(shown[name], printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed ${name}`);
  }
  if (expected.pExact === undefined) return;
  const permutations = 20_000;
  const { permutationP } = friedman({ ...inputs, permutations });
  const error = Math.sqrt((expected.pExact * (1 - expected.pExact)) / permutations);
  expectClose(permutationP, expected.pExact, { relative: 0, absolute: 5 * error }, `${id} permutations`);
});

test('χ², W and F come from the analysis of variance of the ranks, with ties and without', () => {
  fc.assert(
    fc.property(tiedScores, (scores) => {
      const n = scores.length;
      const k = scores[0]?.length ?? 0;
      const { items, total, rest, residualMeanSquare } = varianceOfRanks(scores);
      const got = friedman({ scores, higherIsBetter: false });
      const close = { relative: 1e-10, absolute: 1e-12 };
      expectClose(got.chiSquare, (items * n * (k - 1)) / total, close, 'chi-square');
      expectClose(got.kendallW, items / total, close, 'W');
      if (rest > 1e-9) expectClose(got.f, items / (k - 1) / residualMeanSquare, close, 'f');
      else expect(got.f).toBeNull();
      const ranks = scores.map(counted);
      expect(got.rankSums).toEqual(got.rankSums.map((_, j) => column(ranks, j).reduce((a, b) => a + b, 0)));
    }),
    { seed: 31, numRuns: 100 },
  );
});

/** The exact p by writing out every way in which listeners could have ordered their ranks. */
function enumerated(scores: number[][]): number {
  const spread = (ranks: number[][]) =>
    ranks[0]?.map((_, j) => column(ranks, j).reduce((a, b) => a + b, 0) ** 2).reduce((a, b) => a + b, 0) ?? 0;
  const ranks = scores.map(counted);
  const all = shuffles(ranks);
  return all.filter((table) => spread(table) >= spread(ranks) - 1e-9).length / all.length;
}

test.each([
  [
    'three by three',
    [
      [1, 2, 3],
      [1, 3, 2],
      [1, 2, 3],
    ],
  ],
  [
    'four by three',
    [
      [1, 2, 3],
      [1, 3, 2],
      [2, 3, 1],
      [2, 1, 3],
    ],
  ],
  [
    'ties',
    [
      [1, 1, 3],
      [1, 2, 2],
      [5, 5, 5],
      [1, 2, 3],
    ],
  ],
  [
    'three by four',
    [
      [1, 2, 3, 4],
      [2, 1, 3, 4],
      [1, 3, 2, 4],
    ],
  ],
])('permutations come near the exact p: %s', (_, scores) => {
  const permutations = 20_000;
  const exact = enumerated(scores);
  const { permutationP = Number.NaN } = friedman({ scores, permutations, seed: 'near' });
  expect(Math.abs(permutationP - exact)).toBeLessThan(4.5 * Math.sqrt((exact * (1 - exact)) / permutations));
  // An answer of its own for each seed, the same for the same seed, never 0.
  expect(friedman({ scores, permutations, seed: 'near' }).permutationP).toBe(permutationP);
  expect(friedman({ scores, permutations, seed: 'far' }).permutationP).not.toBe(permutationP);
});

test('perfect agreement: W is 1, F has no value, and its p is the exact one', () => {
  for (const row of [
    [1, 2, 3],
    [1, 1, 2],
    [4, 4, 1],
  ]) {
    const scores = [row, row, row];
    const got = friedman({ scores, permutations: 100 });
    expect(got).toMatchObject({ f: null, kendallW: 1, chiSquare: 6 });
    expectClose(got.fP, enumerated(scores), { relative: 1e-12, absolute: 0 }, `${row}`);
    expect(got.permutationP).toBeGreaterThanOrEqual(1 / 101);
  }
  const long = Array.from({ length: 400 }, () => [1, 2, 3, 4, 5]);
  expect(friedman({ scores: long })).toMatchObject({ f: null, kendallW: 1 });
});

test('one listener who differs in a thousand is not perfect agreement', () => {
  const scores = Array.from({ length: 1000 }, (_, i) => (i === 7 ? [2, 1, 3] : [1, 2, 3]));
  const { f, kendallW } = friedman({ scores });
  expect(kendallW).toBeLessThan(1);
  expectClose(f, 999 * (kendallW / (1 - kendallW)), { relative: 1e-9, absolute: 0 }, 'f');
});

test('listeners in any order, items in any order, any rising scale, either end as the best: the same test', () => {
  fc.assert(
    fc.property(tiedScores, (scores) => {
      const straight = friedman({ scores });
      const { rankSums, ...verdict } = straight;
      expect(friedman({ scores: [...scores].reverse() })).toEqual(straight);
      const turned = friedman({ scores: scores.map((row) => [...row].reverse()) });
      expect(turned).toEqual({ ...verdict, rankSums: [...rankSums].reverse() });
      expect(friedman({ scores: scores.map((row, i) => row.map((one) => 0.3 * one ** 3 - i)) })).toEqual(straight);
      const n = scores.length;
      const k = rankSums.length;
      const other = friedman({ scores, higherIsBetter: false });
      expect(other).toEqual({ ...verdict, rankSums: rankSums.map((sum) => n * (k + 1) - sum) });
      expect(straight.kendallW).toBeGreaterThanOrEqual(0);
      expect(straight.kendallW).toBeLessThanOrEqual(1);
    }),
    { seed: 32, numRuns: 80 },
  );
});

test('rank 1 is the best', () => {
  const scores = [
    [7, 5, 1],
    [9, 5, 3],
  ];
  expect(friedman({ scores }).rankSums).toEqual([2, 4, 6]);
  expect(friedman({ scores, higherIsBetter: false }).rankSums).toEqual([6, 4, 2]);
});

test('under the null the permutation p is at most α about as often as α', () => {
  const random = seededRandom('null rankings');
  const alarms = { '0.1': 0, '0.3': 0 };
  const studies = 400;
  for (let study = 0; study < studies; study++) {
    const scores = Array.from({ length: 5 }, () => Array.from({ length: 3 }, () => random.below(4)));
    if (scores.every((row) => new Set(row).size === 1)) continue;
    const { permutationP = 0 } = friedman({ scores, permutations: 199, seed: study });
    if (permutationP <= 0.1) alarms['0.1']++;
    if (permutationP <= 0.3) alarms['0.3']++;
  }
  expect(alarms['0.1'] / studies).toBeLessThan(0.1 + 3 * Math.sqrt(0.09 / studies));
  expect(alarms['0.3'] / studies).toBeLessThan(0.3 + 3 * Math.sqrt(0.21 / studies));
  expect(alarms['0.3'] / studies).toBeGreaterThan(0.15);
});

test('nothing to rank, one listener, or a table that doesn’t fit is refused', () => {
  expectRefused(
    () =>
      friedman({
        scores: cells('3 3 3, 1 1 1'),
      }),
    'no-variation',
    'scores',
  );
  expectRefused(() => friedman({ scores: [[1, 2, 3]] }), 'not-enough-data', 'scores');
  expectRefused(() => friedman({ scores: [[1], [2]] }), 'not-enough-data', 'scores.0');
  expectRefused(() => friedman({ scores: [] }), 'not-enough-data', 'scores');
  expectRefused(
    () =>
      friedman({
        scores: cells('1 2, 1 2 3'),
      }),
    'inconsistent',
    'scores.1',
  );
  expectRefused(
    () =>
      friedman({
        scores: cells('1 2, 1 NaN'),
      }),
    'wrong-type',
    'scores.1.1',
  );
  expectRefused(
    () =>
      friedman({
        scores: cells('1 2, 1 Infinity'),
      }),
    'wrong-type',
    'scores.1.1',
  );
  expectRefused(
    () =>
      friedman({
        scores: cells('1 2, 1 "2"'),
      }),
    'wrong-type',
    'scores.1.1',
  );
  expectRefused(
    () =>
      friedman({
        scores: cells('1 2, 1 null'),
      }),
    'missing',
    'scores.1.1',
  );
  const scores = [
    [1, 2],
    [2, 1],
  ];
  expectRefused(() => friedman({ scores, higherIsBetter: 'no' as never }), 'wrong-type', 'higherIsBetter');
  expectRefused(() => friedman({ scores, permutations: 10 }), 'out-of-range', 'permutations');
  expectRefused(() => friedman({ scores, permutation: 100 } as never), 'unknown-option', 'permutation');
  expectRefused(() => friedman({ scores, seed: -1 }), 'out-of-range', 'seed');
});
