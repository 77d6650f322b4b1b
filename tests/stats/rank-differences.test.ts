import fc from 'fast-check';
import { expect, test } from 'vitest';
import { normalUpper, studentizedRangeUpper, tQuantile, tUpper } from '../../stats/distributions';
import { friedman } from '../../stats/friedman';
import { type RankDifferencesInput, rankDifferenceMethods, rankDifferences } from '../../stats/rank-differences';
import { tiedScores, varianceOfRanks } from './rank-support';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  RankDifferencesInput,
  {
    rankSums: number[];
    nemenyi: { p: number[][]; critical: number };
    conover: { p: number[][]; critical: number; standardError: number };
    lsd: { critical: number };
  }
>;

test.each(references<Case[]>('rank-differences'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const n = inputs.scores.length;
  const k = expected.rankSums.length;
  for (const method of rankDifferenceMethods) {
    const { pairs, critical } = rankDifferences({ ...inputs, method });
    expectClose(critical, expected[method].critical, tolerance, `${id} ${method} critical`);
    expect(pairs).toHaveLength((k * (k - 1)) / 2);
    for (const { a, b, difference, p } of pairs) {
      const [first, second] = [expected.rankSums[a - 1] ?? 0, expected.rankSums[b - 1] ?? 0];
      expect(difference).toBe(first - second);
      const own = method === 'lsd' ? undefined : expected[method].p[a - 1]?.[b - 1];
      // The least significant difference has no table of p: its z is the difference over its standard error.
      const z = Math.abs(difference) / Math.sqrt((n * k * (k + 1)) / 6);
      expectClose(p, own ?? 2 * normalUpper(z), tolerance, `${id} ${method} ${a} ${b}`);
    }
    if (method === 'conover') {
      const t = -tQuantile(0.025, (n - 1) * (k - 1));
      expectClose(critical / t, expected.conover.standardError, tolerance, `${id} standard error`);
    }
  }
  // Demšar's printed values, from memory, as the friedman case says: in mean ranks.
  if (!published) return;
  const { critical } = rankDifferences({ ...inputs, method: 'nemenyi' });
  const mean = published.criticalMeanRank;
  const q = published.q;
  if (mean) expectClose(critical / n, mean.value, { relative: 0, absolute: mean.tolerance }, 'printed difference');
  if (q)
    expectClose(
      critical / Math.sqrt((n * k * (k + 1)) / 6),
      q.value,
      { relative: 0, absolute: q.tolerance },
      'printed q',
    );
});

test('Conover’s t comes from the residual mean square of the ranks', () => {
  fc.assert(
    fc.property(tiedScores, (scores) => {
      const { residualMeanSquare, rest, means } = varianceOfRanks(scores);
      if (rest < 1e-9) return;
      const n = scores.length;
      const df = (n - 1) * (means.length - 1);
      const error = Math.sqrt(2 * n * residualMeanSquare);
      const { pairs, critical } = rankDifferences({ scores, method: 'conover', higherIsBetter: false, alpha: 0.1 });
      for (const { a, b, difference, p } of pairs) {
        const apart = n * ((means[a - 1] ?? 0) - (means[b - 1] ?? 0));
        expectClose(difference, apart, { relative: 1e-12, absolute: 1e-10 }, 'difference');
        expectClose(p, 2 * tUpper(Math.abs(apart) / error, df), { relative: 1e-8, absolute: 0 }, 'p');
      }
      expectClose(critical, -tQuantile(0.05, df) * error, { relative: 1e-10, absolute: 0 }, 'critical');
    }),
    { seed: 41, numRuns: 60 },
  );
});

test('with two items Nemenyi is the least significant difference, and Conover the F of Iman and Davenport', () => {
  const scores = [
    [1, 2],
    [1, 2],
    [2, 1],
    [1, 2],
    [3, 3],
    [1, 2],
  ];
  const p = (method: 'nemenyi' | 'conover' | 'lsd') => rankDifferences({ scores, method }).pairs[0]?.p;
  const critical = (method: 'nemenyi' | 'lsd') => rankDifferences({ scores, method, alpha: 0.2 }).critical;
  expectClose(p('nemenyi'), p('lsd') ?? 0, { relative: 1e-9, absolute: 0 }, 'p');
  expectClose(critical('nemenyi'), critical('lsd'), { relative: 1e-9, absolute: 0 }, 'critical');
  expectClose(p('conover'), friedman({ scores }).fP, { relative: 1e-9, absolute: 0 }, 'F');
});

test('p is at most alpha exactly where the difference reaches the critical one; both turn with the sides', () => {
  fc.assert(
    fc.property(tiedScores, fc.constantFrom(0.01, 0.05, 0.1, 0.5), (scores, alpha) => {
      for (const method of rankDifferenceMethods) {
        if (method === 'conover' && varianceOfRanks(scores).rest < 1e-9) continue;
        const { pairs, critical } = rankDifferences({ scores, method, alpha });
        for (const { difference, p } of pairs) {
          const size = Math.abs(difference);
          if (Math.abs(size - critical) > 1e-6)
            expect(p <= alpha, `${method} ${size} ${critical}`).toBe(size > critical);
          if (size === 0) expect(p).toBe(1);
        }
        const k = scores[0]?.length ?? 0;
        const turned = rankDifferences({ scores: scores.map((row) => [...row].reverse()), method, alpha });
        expect(turned.critical).toBe(critical);
        for (const { a, b, difference, p } of pairs) {
          const same = turned.pairs.find((pair) => pair.a === k + 1 - b && pair.b === k + 1 - a);
          expect(same).toMatchObject({ difference: 0 - difference, p });
        }
        const other = rankDifferences({ scores: [...scores].reverse(), method, alpha, higherIsBetter: false });
        expect(other.pairs.map(({ difference }) => 0 - difference)).toEqual(pairs.map(({ difference }) => difference));
        expect(other.pairs.map(({ p }) => p)).toEqual(pairs.map(({ p }) => p));
      }
    }),
    { seed: 42, numRuns: 50 },
  );
});

test('Nemenyi, over all pairs, is never kinder than the least significant difference', () => {
  fc.assert(
    fc.property(tiedScores, (scores) => {
      const nemenyi = rankDifferences({ scores, method: 'nemenyi' });
      const lsd = rankDifferences({ scores, method: 'lsd' });
      expect(nemenyi.critical).toBeGreaterThan(lsd.critical * (1 - 1e-9));
      nemenyi.pairs.forEach(({ p }, i) => {
        expect(p).toBeGreaterThanOrEqual((lsd.pairs[i]?.p ?? 2) * (1 - 1e-9));
      });
    }),
    { seed: 43, numRuns: 50 },
  );
});

test('far apart keeps its tail', () => {
  const scores = Array.from({ length: 200 }, (_, i) => (i % 4 === 0 ? [2, 1, 3] : [1, 2, 3]));
  for (const method of rankDifferenceMethods) {
    const p = rankDifferences({ scores, method }).pairs[1]?.p ?? 0;
    expect(p).toBeGreaterThan(0);
    expect(p).toBeLessThan(1e-30);
  }
});

test('at an alpha next to nothing the critical difference is still the one with that p', () => {
  const scores = Array.from({ length: 12 }, (_, i) => (i % 4 === 0 ? [2, 1, 3] : [1, 2, 3]));
  for (const method of rankDifferenceMethods) {
    const critical = [0.05, 1e-9, 1e-18, 1e-300].map((alpha) => rankDifferences({ scores, method, alpha }).critical);
    expect(critical.every(Number.isFinite), `${method} ${critical}`).toBe(true);
    expect(critical).toEqual([...critical].sort((a, b) => a - b));
  }
  const { critical } = rankDifferences({ scores, method: 'nemenyi', alpha: 1e-18 });
  const q = critical / Math.sqrt((12 * 3 * 4) / 12);
  expectClose(studentizedRangeUpper(q, 3, Number.POSITIVE_INFINITY), 1e-18, { relative: 1e-9, absolute: 0 }, 'p');
});

test('one ranking leaves Conover nothing to measure by, and says so; the others need no spread', () => {
  const alike = [
    [1, 2, 3],
    [1, 2, 3],
    [1, 2, 3],
  ];
  const tied = [
    [2, 2, 2],
    [5, 5, 5],
  ];
  for (const scores of [alike, tied]) {
    expectRefused(() => rankDifferences({ scores, method: 'conover' }), 'no-variation', 'scores');
  }
  expect(rankDifferences({ scores: alike, method: 'lsd' }).pairs[1]).toMatchObject({ difference: 6 });
  for (const method of ['nemenyi', 'lsd'] as const) {
    expect(rankDifferences({ scores: tied, method }).pairs.map(({ p }) => p)).toEqual([1, 1, 1]);
  }
});

test('what doesn’t fit names its field', () => {
  const scores = [
    [1, 2],
    [2, 1],
  ];
  expectRefused(() => rankDifferences({ scores } as never), 'missing', 'method');
  const near = expectRefused(() => rankDifferences({ scores, method: 'nemeny' as never }), 'unknown-choice', 'method');
  expect(near.message).toContain('nemenyi');
  expectRefused(() => rankDifferences({ scores, method: 'lsd', alpha: 0 }), 'out-of-range', 'alpha');
  expectRefused(() => rankDifferences({ scores, method: 'lsd', alfa: 0.1 } as never), 'unknown-option', 'alfa');
  expectRefused(() => rankDifferences({ scores: [[1, 2]], method: 'lsd' }), 'not-enough-data', 'scores');
  expectRefused(
    () =>
      rankDifferences({
        scores: [
          [1, 2, 3],
          [1, 2],
        ],
        method: 'lsd',
      }),
    'inconsistent',
    'scores.1',
  );
  const wide = [1, 2].map(() => Array.from({ length: 1001 }, (_, j) => j));
  expectRefused(() => rankDifferences({ scores: wide, method: 'lsd' }), 'out-of-range', 'scores');
});
