import fc from 'fast-check';
import { expect, test } from 'vitest';
import { normalUpper } from '../../stats/distributions';
import { fleissKappa } from '../../stats/fleiss-kappa';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  { counts: number[][] },
  { kappa: number; standardError: number; z: number; byCategory: number[] }
>;

test.each(references<Case[]>('fleiss-kappa'))('$id', ({ inputs, expected, tolerance, published, id }) => {
  const got = fleissKappa(inputs);
  expectClose(got.kappa, expected.kappa, tolerance, `${id} kappa`);
  expectClose(got.standardError, expected.standardError, tolerance, `${id} standard error`);
  expectClose(got.p, 2 * normalUpper(Math.abs(expected.z)), { relative: 1e-6, absolute: 0 }, `${id} p`);
  expect(got.byCategory).toHaveLength(expected.byCategory.length);
  expected.byCategory.forEach((value, j) => {
    expectClose(got.byCategory[j], value, tolerance, `${id} category ${j}`);
  });
  const printed = published?.kappa;
  if (printed) expectClose(got.kappa, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
});

/** Every rater's answer written out, and every pair of raters of a subject compared. */
function byPairs(counts: number[][]): number {
  const answers = counts.map((row) => row.flatMap((count, j) => new Array<number>(count).fill(j)));
  let agreeing = 0;
  let pairs = 0;
  for (const row of answers) {
    row.forEach((a, i) => {
      row.forEach((b, h) => {
        if (i === h) return;
        pairs++;
        if (a === b) agreeing++;
      });
    });
  }
  const all = answers.flat();
  let alike = 0;
  for (const a of all) for (const b of all) if (a === b) alike++;
  const chance = alike / all.length ** 2;
  return (agreeing / pairs - chance) / (1 - chance);
}

const countsOf = fc
  .record({
    subjects: fc.integer({ min: 2, max: 8 }),
    raters: fc.integer({ min: 2, max: 6 }),
    answers: fc.array(fc.integer({ min: 0, max: 3 }), { minLength: 48, maxLength: 48 }),
  })
  .map(({ subjects, raters, answers }) =>
    Array.from({ length: subjects }, (_, i) => {
      const own = answers.slice(i * raters, (i + 1) * raters);
      return [0, 1, 2, 3].map((category) => own.filter((one) => one === category).length);
    }),
  )
  .filter((counts) => [0, 1, 2, 3].filter((j) => counts.some((row) => (row[j] ?? 0) > 0)).length > 1);

test('by comparing every pair of raters; each category by comparing it with all others taken together', () => {
  fc.assert(
    fc.property(countsOf, (counts) => {
      const got = fleissKappa({ counts });
      const what = JSON.stringify(counts);
      expectClose(got.kappa, byPairs(counts), { relative: 1e-10, absolute: 1e-12 }, what);
      [0, 1, 2, 3].forEach((j) => {
        const two = counts.map((row) => [row[j] ?? 0, row.reduce((sum, count) => sum + count, 0) - (row[j] ?? 0)]);
        if (two.every(([own]) => own === 0)) expect(got.byCategory[j]).toBe(null);
        else expectClose(got.byCategory[j], byPairs(two), { relative: 1e-10, absolute: 1e-12 }, `${what} ${j}`);
      });
      const turned = fleissKappa({ counts: [...counts].reverse().map((row) => [...row].reverse()) });
      expect(turned.kappa).toBe(got.kappa);
      expect([...turned.byCategory].reverse()).toEqual(got.byCategory);
      expectClose(turned.standardError, got.standardError, { relative: 1e-12, absolute: 0 }, 'turned');
    }),
    { seed: 1, numRuns: 150 },
  );
});

test('the standard error is the spread that the formula of differences gives, and keeps its digits where that has none', () => {
  const direct = (counts: number[][]) => {
    const m = (counts[0] ?? []).reduce((sum, count) => sum + count, 0);
    const n = counts.length;
    const shares = (counts[0] ?? []).map((_, j) => counts.reduce((sum, row) => sum + (row[j] ?? 0), 0) / (n * m));
    const s = shares.reduce((sum, p) => sum + p * (1 - p), 0);
    const third = shares.reduce((sum, p) => sum + p * (1 - p) * (1 - 2 * p), 0);
    return (Math.SQRT2 / (s * Math.sqrt(n * m * (m - 1)))) * Math.sqrt(s ** 2 - third);
  };
  fc.assert(
    fc.property(countsOf, (counts) => {
      const got = fleissKappa({ counts }).standardError;
      expectClose(got, direct(counts), { relative: 1e-10, absolute: 0 }, JSON.stringify(counts));
    }),
    { seed: 2, numRuns: 150 },
  );
  // With two categories the shares cancel altogether: √(2/(n·m·(m − 1))).
  const lopsided = [[999_999, 1], ...Array.from({ length: 9 }, () => [1_000_000, 0])];
  const expected = Math.sqrt(2 / (10 * 1e6 * (1e6 - 1)));
  expectClose(fleissKappa({ counts: lopsided }).standardError, expected, { relative: 1e-10, absolute: 0 }, 'lopsided');
});

test('perfect agreement, chance, a category nobody used, and one that holds everything', () => {
  const perfect = fleissKappa({
    counts: [
      [3, 0, 0],
      [0, 3, 0],
      [3, 0, 0],
    ],
  });
  expect(perfect.kappa).toBe(1);
  expect(perfect.byCategory).toEqual([1, 1, null]);
  const none = fleissKappa({
    counts: [
      [3, 3],
      [4, 2],
      [2, 4],
    ],
  });
  expect(none.kappa).toBeLessThan(0);
  // Four pairs of answers, each equally often: exactly what chance gives.
  const chance = fleissKappa({
    counts: [
      [2, 0],
      [1, 1],
      [1, 1],
      [0, 2],
    ],
  });
  expect([chance.kappa, chance.p]).toEqual([0, 1]);
  expectRefused(
    () =>
      fleissKappa({
        counts: cells('3 0, 3 0'),
      }),
    'no-variation',
    'counts',
  );
});

test('bad input is refused with its place', () => {
  expectRefused(() => fleissKappa({ counts: [[2, 0]] }), 'not-enough-data', 'counts');
  expectRefused(() => fleissKappa({ counts: [[2], [2]] }), 'not-enough-data', 'counts.0');
  expectRefused(
    () =>
      fleissKappa({
        counts: cells('1 0, 0 1'),
      }),
    'not-enough-data',
    'counts.0',
  );
  expectRefused(
    () =>
      fleissKappa({
        counts: cells('0 0, 0 0'),
      }),
    'not-enough-data',
    'counts.0',
  );
  expectRefused(
    () =>
      fleissKappa({
        counts: cells('2 1, 3 1'),
      }),
    'inconsistent',
    'counts.1',
  );
  expectRefused(
    () =>
      fleissKappa({
        counts: cells('2 1, 3 0 0'),
      }),
    'inconsistent',
    'counts.1',
  );
  expectRefused(
    () =>
      fleissKappa({
        counts: cells('2 -1, 3 0'),
      }),
    'out-of-range',
    'counts.0.1',
  );
  expectRefused(
    () =>
      fleissKappa({
        counts: cells('2 0.5, 3 0'),
      }),
    'wrong-type',
    'counts.0.1',
  );
});
