import fc from 'fast-check';
import { expect, test } from 'vitest';
import { anovaBlocks } from '../../stats/anova-blocks';
import { pairedT } from '../../stats/paired-t';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Tested = { f: number; p: number };
type Case = ReferenceCase<
  { scores: number[][] },
  {
    sumOfSquares: number[];
    degreesOfFreedom: number[];
    residualMeanSquare: number;
    items: Tested;
    listeners: Tested;
    tukey: { a: number; b: number; difference: number; lower: number; upper: number; p: number }[];
  }
>;

test.each(references<Case[]>('anova-blocks'))('$id: $source', ({ inputs, expected, tolerance, published, id }) => {
  const { rows, residualMeanSquare, tukey } = anovaBlocks(inputs);
  expect(rows.map(({ source }) => source)).toEqual(['items', 'listeners', 'residual']);
  expect(rows.map(({ degreesOfFreedom }) => degreesOfFreedom)).toEqual(expected.degreesOfFreedom);
  rows.forEach((row, i) => {
    const squares = expected.sumOfSquares[i] ?? Number.NaN;
    expectClose(row.sumOfSquares, squares, tolerance, `${id} squares ${i}`);
    expectClose(row.meanSquare, squares / row.degreesOfFreedom, tolerance, `${id} mean square ${i}`);
  });
  expectClose(residualMeanSquare, expected.residualMeanSquare, tolerance, `${id} residual`);
  for (const [i, source] of (['items', 'listeners'] as const).entries()) {
    expectClose(rows[i]?.f, expected[source].f, tolerance, `${id} ${source} f`);
    expectClose(rows[i]?.p, expected[source].p, { ...tolerance, absolute: 1e-12 }, `${id} ${source} p`);
  }
  const printed = published?.['items.f'];
  if (printed) expectClose(rows[0]?.f, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
  const byPair = expected.tukey.toSorted((x, y) => x.a - y.a || x.b - y.b);
  expect(tukey.map(({ a, b }) => [a, b])).toEqual(byPair.map(({ a, b }) => [a, b]));
  tukey.forEach((pair, i) => {
    for (const key of ['difference', 'lower', 'upper', 'p'] as const) {
      expectClose(pair[key], byPair[i]?.[key] ?? Number.NaN, tolerance, `${id} ${pair.a}-${pair.b} ${key}`);
    }
  });
});

const panel = fc
  .tuple(
    fc.integer({ min: 2, max: 8 }),
    fc.integer({ min: 2, max: 5 }),
    fc.infiniteStream(fc.integer({ min: 1, max: 9 })),
  )
  .map(([listeners, items, ratings]) =>
    Array.from({ length: listeners }, () => Array.from({ length: items }, () => ratings.next().value ?? 0)),
  );
/** Panels in which anything is left beside items and listeners. */
const varied = panel.filter((scores) => {
  const [first = []] = scores;
  return scores.some((row) => row.some((y, j) => y - (row[0] ?? 0) !== (first[j] ?? 0) - (first[0] ?? 0)));
});

test('the handbook’s correction term gives the same sums of squares', () => {
  fc.assert(
    fc.property(varied, (scores) => {
      const listeners = scores.length;
      const items = scores[0]?.length ?? 0;
      const total = (values: number[]) => values.reduce((all, one) => all + one, 0);
      const squares = (values: number[]) => total(values.map((one) => one * one));
      const correction = total(scores.flat()) ** 2 / (listeners * items);
      const columns = Array.from({ length: items }, (_, j) => total(scores.map((row) => row[j] ?? Number.NaN)));
      const betweenItems = squares(columns) / listeners - correction;
      const betweenListeners = squares(scores.map(total)) / items - correction;
      const left = squares(scores.flat()) - correction - betweenItems - betweenListeners;
      const got = anovaBlocks({ scores }).rows.map(({ sumOfSquares }) => sumOfSquares);
      [betweenItems, betweenListeners, left].forEach((expected, i) => {
        expectClose(got[i], expected, { relative: 1e-10, absolute: 1e-10 }, `row ${i}`);
      });
    }),
    { seed: 1, numRuns: 25 },
  );
});

test('two items: F is t², and Tukey’s pair is the paired t test, interval and all', () => {
  fc.assert(
    fc.property(
      varied.filter(([row]) => row?.length === 2),
      fc.constantFrom(0.5, 0.95, 0.999),
      (scores, level) => {
        const { rows, tukey } = anovaBlocks({ scores, level });
        const [first = [], second = []] = [0, 1].map((j) => scores.map((row) => row[j] ?? Number.NaN));
        const t = pairedT({ first, second, level });
        const near = { relative: 1e-9, absolute: 1e-12 };
        expectClose(rows[0]?.f, t.t ** 2, near, 'f');
        expectClose(rows[0]?.p, t.p, near, 'p');
        for (const key of ['difference', 'lower', 'upper', 'p'] as const)
          expectClose(tukey[0]?.[key], t[key], near, key);
      },
    ),
    { seed: 2, numRuns: 20 },
  );
});

test('listeners in another order change nothing; items in another order are permuted; own levels cancel', () => {
  fc.assert(
    fc.property(varied, fc.integer({ min: 1, max: 30 }), (scores, by) => {
      const plain = anovaBlocks({ scores });
      const near = { relative: 1e-9, absolute: 1e-9 };
      const same = (other: ReturnType<typeof anovaBlocks>, rows = [0, 1, 2]) => {
        for (const i of rows)
          expectClose(other.rows[i]?.sumOfSquares, plain.rows[i]?.sumOfSquares ?? 0, near, `row ${i}`);
      };
      same(anovaBlocks({ scores: [...scores].reverse() }));
      same(anovaBlocks({ scores: scores.map((row, i) => row.map((y) => y + by * i)) }), [0, 2]);
      const turned = anovaBlocks({ scores: scores.map((row) => [...row].reverse()) });
      same(turned);
      const items = scores[0]?.length ?? 0;
      for (const { a, b, difference, lower, upper, p } of plain.tukey) {
        const pair = turned.tukey.find((one) => one.a === items + 1 - b && one.b === items + 1 - a);
        expectClose(pair?.difference, -difference, near, 'difference');
        expectClose(pair?.lower, -upper, near, 'lower');
        expectClose(pair?.upper, -lower, near, 'upper');
        expectClose(pair?.p, p, near, 'p');
        expect(lower < difference && difference < upper).toBe(true);
        // The pair differs at 0.95 exactly where its interval leaves 0 out.
        if (Math.abs(p - 0.05) > 1e-6) expect(p < 0.05).toBe(lower > 0 || upper < 0);
      }
    }),
    { seed: 3, numRuns: 15 },
  );
});

test('a higher level makes wider intervals, more items make the same difference count less', () => {
  const scores = [
    [3, 5, 6],
    [4, 4, 6],
    [2, 5, 7],
    [5, 6, 6],
  ];
  const width = (level: number) => {
    const [pair] = anovaBlocks({ scores, level }).tukey;
    return (pair?.upper ?? 0) - (pair?.lower ?? 0);
  };
  expect(width(0.8)).toBeLessThan(width(0.95));
  expect(width(0.95)).toBeLessThan(width(0.999));
  expect(anovaBlocks({ scores: [...scores, ...scores] }).tukey[0]?.p).toBeLessThan(
    anovaBlocks({ scores }).tukey[0]?.p ?? 0,
  );
});

test('items alike have F 0 and p 1; whatever leaves no residual, but for rounding, is refused', () => {
  const alike = anovaBlocks({
    scores: [
      [1, 2],
      [2, 1],
    ],
  });
  expect(alike.rows[0]).toMatchObject({ sumOfSquares: 0, f: 0, p: 1 });
  expect(alike.rows[2]).toMatchObject({ f: null, p: null });
  expect(alike.tukey[0]).toMatchObject({ difference: 0, p: 1 });
  const refused = (scores: number[][]) => expectRefused(() => anovaBlocks({ scores }), 'no-variation', 'scores');
  refused([
    [5, 5],
    [5, 5],
  ]);
  refused([
    [1, 2, 4],
    [2, 3, 5],
  ]);
  refused([
    [0.1, 0.2],
    [0.2, 0.3],
    [0.7, 0.8],
  ]);
});

test('bad input is refused, naming the cell', () => {
  const run =
    (scores: unknown, more: object = {}) =>
    () =>
      anovaBlocks({ scores, ...more } as never);
  expectRefused(run(undefined), 'missing', 'scores');
  expectRefused(run([]), 'not-enough-data', 'scores');
  expectRefused(run([[1, 2]]), 'not-enough-data', 'scores');
  expectRefused(run([[1], [2]]), 'not-enough-data', 'scores.0');
  expectRefused(
    run([
      [1, 2],
      [3, 4, 5],
    ]),
    'inconsistent',
    'scores.1',
  );
  expectRefused(
    run([
      [1, 2],
      [3, null],
    ]),
    'missing',
    'scores.1.1',
  );
  expectRefused(
    run([
      [1, 2],
      [3, Number.NaN],
    ]),
    'wrong-type',
    'scores.1.1',
  );
  expectRefused(
    run([
      [1, '2'],
      [3, 4],
    ]),
    'wrong-type',
    'scores.0.1',
  );
  expectRefused(run([new Array(101).fill(1), new Array(101).fill(2)]), 'out-of-range', 'scores');
  expectRefused(
    run(
      [
        [1, 2],
        [2, 1],
      ],
      { level: 1 },
    ),
    'out-of-range',
    'level',
  );
  expectRefused(
    run(
      [
        [1, 2],
        [2, 1],
      ],
      { alpha: 0.05 },
    ),
    'unknown-option',
    'alpha',
  );
});

test('scores a thousand million from zero give the same differences', () => {
  const scores = [
    [3.25, 5.5, 6.75],
    [4, 4.5, 6.25],
    [2.5, 5, 7],
  ];
  const far = scores.map((row) => row.map((score) => score + 2 ** 30));
  const differences = (table: number[][]) => anovaBlocks({ scores: table }).tukey.map(({ difference }) => difference);
  for (const [i, difference] of differences(scores).entries()) {
    expectClose(differences(far)[i], difference, rounding, `pair ${i}`);
  }
});
