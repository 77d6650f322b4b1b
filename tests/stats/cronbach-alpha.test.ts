import fc from 'fast-check';
import { expect, test } from 'vitest';
import { cronbachAlpha } from '../../stats/cronbach-alpha';
import { icc } from '../../stats/icc';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<{ scores: number[][] }, { alpha: number }>;

test.each(references<Case[]>('cronbach-alpha'))('$id', ({ inputs, expected, tolerance, published, id }) => {
  const { alpha } = cronbachAlpha(inputs);
  expectClose(alpha, expected.alpha, tolerance, id);
  const printed = published?.alpha;
  if (printed) expectClose(alpha, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
});

const scoresOf = fc
  .record({
    n: fc.integer({ min: 2, max: 7 }),
    k: fc.integer({ min: 2, max: 5 }),
    cells: fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 35, maxLength: 35 }),
  })
  .map(({ n, k, cells }) => Array.from({ length: n }, (_, i) => cells.slice(i * k, i * k + k)))
  .filter((scores) => new Set(scores.map((row) => row.reduce((sum, value) => sum + value, 0))).size > 1);

test('by its definition from covariances, and equal to the consistency of the mean of the items', () => {
  fc.assert(
    fc.property(scoresOf, (scores) => {
      const n = scores.length;
      const k = scores[0]?.length ?? 0;
      const at = (i: number, j: number) => scores[i]?.[j] ?? Number.NaN;
      // Sums over pairs of cases: n(n − 1) times the covariance.
      const covariance = (a: number, b: number) => {
        let sum = 0;
        for (let i = 0; i < n; i++) for (let h = 0; h < i; h++) sum += (at(i, a) - at(h, a)) * (at(i, b) - at(h, b));
        return sum;
      };
      let own = 0;
      let all = 0;
      for (let a = 0; a < k; a++) {
        for (let b = 0; b < k; b++) all += covariance(a, b);
        own += covariance(a, a);
      }
      const expected = (k / (k - 1)) * (1 - own / all);
      const { alpha } = cronbachAlpha({ scores });
      expectClose(alpha, expected, { relative: 1e-11, absolute: 1e-12 }, JSON.stringify(scores));
      expect(alpha).toBeLessThanOrEqual(1);
      const moved = [...scores].reverse().map((row) => [...row].reverse().map((value, j) => 3 * value + 1e5 * j));
      expectClose(cronbachAlpha({ scores: moved }).alpha, alpha, { relative: 1e-9, absolute: 1e-10 }, 'moved');
      if (expected < 1 - 1e-9) {
        const consistency = icc({ ratings: scores }).average.twoWayMixed.value;
        expectClose(consistency, alpha, { relative: 1e-11, absolute: 1e-12 }, 'icc');
      }
    }),
    { seed: 1, numRuns: 150 },
  );
});

test('items that move together give 1, opposite ones no scale at all', () => {
  expect(
    cronbachAlpha({
      scores: [
        [1, 11],
        [2, 12],
        [5, 15],
      ],
    }).alpha,
  ).toBe(1);
  expect(
    cronbachAlpha({
      scores: [
        [0.1, 0.2],
        [0.2, 0.3],
        [0.7, 0.8],
      ],
    }).alpha,
  ).toBe(1);
  expectRefused(
    () =>
      cronbachAlpha({
        scores: cells('1 3, 2 2, 3 1'),
      }),
    'no-variation',
    'scores',
  );
  expectRefused(
    () =>
      cronbachAlpha({
        scores: cells('0.1 0.3, 0.2 0.2, 0.3 0.1'),
      }),
    'no-variation',
    'scores',
  );
  expectRefused(
    () =>
      cronbachAlpha({
        scores: cells('4 4, 4 4'),
      }),
    'no-variation',
    'scores',
  );
});

test('bad input is refused with its place', () => {
  expectRefused(() => cronbachAlpha({ scores: [[1, 2]] }), 'not-enough-data', 'scores');
  expectRefused(() => cronbachAlpha({ scores: [[1], [2]] }), 'not-enough-data', 'scores.0');
  expectRefused(() => cronbachAlpha({ scores: [[1, 2], [3]] }), 'not-enough-data', 'scores.1');
  expectRefused(
    () =>
      cronbachAlpha({
        scores: cells('1 2, 3 4 5'),
      }),
    'inconsistent',
    'scores.1',
  );
  expectRefused(
    () =>
      cronbachAlpha({
        scores: cells('1 2, 3 NaN'),
      }),
    'wrong-type',
    'scores.1.1',
  );
  expectRefused(
    () =>
      cronbachAlpha({
        scores: cells('1 2, 3 1e16'),
      }),
    'out-of-range',
    'scores.1.1',
  );
});
