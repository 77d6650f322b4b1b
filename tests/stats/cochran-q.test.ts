import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type CochranQInput, cochranQ } from '../../stats/cochran-q';
import { chiSquareUpper } from '../../stats/distributions';
import { shuffles, varianceOfRanks } from './rank-support';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<CochranQInput, { q: number; degreesOfFreedom: number; p: number }>;

test.each(references<Case[]>('cochran-q'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const got = cochranQ(inputs);
  for (const name of ['q', 'degreesOfFreedom', 'p'] as const) {
    expectClose(got[name], expected[name], tolerance, `${id} ${name}`);
  }
  // From memory, as the case says.
  const printed = published?.q;
  if (printed) expectClose(got.q, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
});

const table = fc
  .tuple(
    fc.integer({ min: 2, max: 8 }),
    fc.integer({ min: 2, max: 5 }),
    fc.array(fc.integer({ min: 0, max: 1 }), { minLength: 40, maxLength: 40 }),
  )
  .map(([n, k, cells]) => Array.from({ length: n }, (_, i) => cells.slice(i * k, (i + 1) * k)))
  .filter((rows) => rows.some((row) => new Set(row).size > 1));

test('ticks are ranks with two sizes: Q is the χ² of the analysis of variance of the ranks', () => {
  fc.assert(
    fc.property(table, (answers) => {
      const { items, total } = varianceOfRanks(answers);
      const n = answers.length;
      const k = answers[0]?.length ?? 0;
      const got = cochranQ({ answers });
      expectClose(got.q, (items * n * (k - 1)) / total, { relative: 1e-10, absolute: 1e-12 }, 'q');
      expect(got.degreesOfFreedom).toBe(k - 1);
      expect(got.p).toBe(chiSquareUpper(got.q, k - 1));
    }),
    { seed: 61, numRuns: 200 },
  );
});

test('with two items it is McNemar’s (b − c)²/(b + c)', () => {
  const rows = (b: number, c: number) =>
    Array.from({ length: b + c + 3 }, (_, i) => (i < b ? [1, 0] : i < b + c ? [0, 1] : [1, 1]));
  for (const [b, c] of [
    [7, 2],
    [1, 0],
    [5, 5],
    [0, 12],
  ] as const) {
    expectClose(
      cochranQ({ answers: rows(b, c) }).q,
      (b - c) ** 2 / (b + c),
      { relative: 1e-12, absolute: 0 },
      `${b} ${c}`,
    );
  }
});

test('over all ways to place the ticks of each listener, Q has the mean of its χ²', () => {
  const answers = [
    [1, 0, 0],
    [1, 1, 0],
    [0, 0, 1],
    [1, 1, 1],
    [1, 0, 0],
  ];
  const all = shuffles(answers).map((rows) => cochranQ({ answers: rows }).q);
  expectClose(all.reduce((sum, q) => sum + q, 0) / all.length, 2, { relative: 1e-12, absolute: 0 }, 'mean');
});

test('listeners and items in any order, no for yes, and listeners who ticked all or none: the same Q', () => {
  fc.assert(
    fc.property(table, (answers) => {
      const straight = cochranQ({ answers });
      const k = answers[0]?.length ?? 0;
      expect(cochranQ({ answers: [...answers].reverse() })).toEqual(straight);
      expect(cochranQ({ answers: answers.map((row) => [...row].reverse()) })).toEqual(straight);
      const { q } = cochranQ({ answers: answers.map((row) => row.map((one) => 1 - one)) });
      expectClose(q, straight.q, { relative: 1e-12, absolute: 1e-12 }, 'no for yes');
      const more = [...answers, new Array<number>(k).fill(1), new Array<number>(k).fill(0)];
      expectClose(cochranQ({ answers: more }).q, straight.q, { relative: 1e-12, absolute: 1e-12 }, 'all or none');
    }),
    { seed: 62, numRuns: 100 },
  );
});

test('all or none from everyone tells nothing; what is no tick is refused', () => {
  expectRefused(
    () =>
      cochranQ({
        answers: cells('1 1 1, 0 0 0'),
      }),
    'no-variation',
    'answers',
  );
  expect(
    cochranQ({
      answers: [
        [1, 0],
        [0, 1],
      ],
    }),
  ).toEqual({ q: 0, degreesOfFreedom: 1, p: 1 });
  expectRefused(() => cochranQ({ answers: [[1, 0, 1]] }), 'not-enough-data', 'answers');
  expectRefused(() => cochranQ({ answers: [[1], [0]] }), 'not-enough-data', 'answers.0');
  expectRefused(
    () =>
      cochranQ({
        answers: cells('1 0, 1 0 0'),
      }),
    'inconsistent',
    'answers.1',
  );
  expectRefused(
    () =>
      cochranQ({
        answers: cells('1 0, 2 0'),
      }),
    'out-of-range',
    'answers.1.0',
  );
  expectRefused(
    () =>
      cochranQ({
        answers: cells('1 0, 0.5 0'),
      }),
    'wrong-type',
    'answers.1.0',
  );
  expectRefused(
    () =>
      cochranQ({
        answers: cells('1 0, true 0'),
      }),
    'wrong-type',
    'answers.1.0',
  );
  expectRefused(
    () =>
      cochranQ({
        answers: cells('1 0, null 0'),
      }),
    'missing',
    'answers.1.0',
  );
  expectRefused(() => cochranQ({ answer: [[1, 0]] } as never), 'unknown-option', 'answer');
});
