import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type ListenerPerformance, panelPerformance } from '../../stats/panel-performance';
import type { PanelScore } from '../../stats/panel-table';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type BySource = Record<string, number>;
type Case = ReferenceCase<
  { rows: [string, string, number, number][] },
  {
    sumOfSquares: BySource;
    degreesOfFreedom: BySource;
    meanSquare: BySource;
    f: BySource;
    p: BySource;
    listeners?: ListenerPerformance[];
  }
>;

const figures = ['sumOfSquares', 'degreesOfFreedom', 'meanSquare', 'f', 'p'] as const;
const own = ['discriminationF', 'discriminationP', 'repeatabilitySd', 'agreement', 'bias'] as const;

test.each(references<Case[]>('panel-performance'))('$id', ({ inputs, expected, tolerance, id }) => {
  const rows = inputs.rows.map(([listener, item, replicate, score]) => ({ listener, item, replicate, score }));
  const got = panelPerformance({ rows });
  expect(got.panel.rows.map(({ source }) => source)).toEqual(['listener', 'item', 'listener × item', 'residual']);
  for (const row of got.panel.rows) {
    for (const figure of figures) {
      const value = expected[figure][row.source];
      if (value !== undefined) expectClose(row[figure], value, tolerance, `${id} ${row.source} ${figure}`);
    }
  }
  expected.listeners?.forEach((one, i) => {
    const found = got.listeners[i];
    expect(found?.listener).toBe(one.listener);
    for (const field of own) expectClose(found?.[field], one[field] ?? Number.NaN, tolerance, `${id} ${i} ${field}`);
  });
});

/** cells[listener][item] = scores, as rows. */
const rowsOf = (cells: number[][][]): PanelScore[] =>
  cells.flatMap((row, l) =>
    row.flatMap((cell, i) =>
      cell.map((score, replicate) => ({ listener: `P${l + 1}`, item: 'ABCDE'[i] ?? '', replicate, score })),
    ),
  );

const panels = fc
  .record({
    listeners: fc.integer({ min: 2, max: 4 }),
    items: fc.integer({ min: 2, max: 4 }),
    replicates: fc.integer({ min: 2, max: 3 }),
    scores: fc.array(fc.integer({ min: 0, max: 20 }), { minLength: 48, maxLength: 48 }),
  })
  .map(({ listeners, items, replicates, scores }) => {
    let next = 0;
    return Array.from({ length: listeners }, () =>
      Array.from({ length: items }, () => Array.from({ length: replicates }, () => scores[next++] ?? 0)),
    );
  })
  .filter((cells) => new Set(cells.flat(2)).size > 1);

/** Half of Σ(a − b)² over all pairs, divided by their number: Σ(a − mean)² without a mean. */
function spread(values: number[]): number {
  let total = 0;
  for (const a of values) for (const b of values) total += (a - b) ** 2;
  return total / (2 * values.length);
}
const total = (values: number[]) => values.reduce((sum, value) => sum + value, 0);
const near = { relative: 1e-9, absolute: 1e-9 };

test('sums of squares by pairs of scores, and they add up to that of all scores', () => {
  fc.assert(
    fc.property(panels, (cells) => {
      const { panel, listeners } = panelPerformance({ rows: rowsOf(cells) });
      const items = cells[0]?.length ?? 0;
      const replicates = cells[0]?.[0]?.length ?? 0;
      const ofItem = Array.from({ length: items }, (_, j) => total(cells.map((row) => total(row[j] ?? []))));
      const expected = [
        spread(cells.map((row) => total(row.flat()))) / (items * replicates),
        spread(ofItem) / (cells.length * replicates),
        0,
        total(cells.flat().map(spread)),
      ];
      expected[2] = spread(cells.flat(2)) - total(expected);
      const what = JSON.stringify(cells);
      panel.rows.forEach((row, i) => {
        expectClose(row.sumOfSquares, expected[i] ?? Number.NaN, near, `${what} ${row.source}`);
      });
      expectClose(total(listeners.map(({ bias }) => bias)), 0, near, 'biases');
      cells.forEach((row, i) => {
        const residual = total(row.map(spread)) / (items * (replicates - 1));
        const between = (spread(row.flat()) - total(row.map(spread))) / (items - 1);
        const one = listeners[i];
        expectClose(one?.repeatabilitySd, Math.sqrt(residual), near, `${what} repeatability`);
        if (residual === 0) expect(one?.discriminationF).toBe(null);
        else expectClose(one?.discriminationF, between / residual, near, `${what} discrimination`);
      });
    }),
    { seed: 1, numRuns: 120 },
  );
});

test('order of the rows, names, origin and unit change nothing but the order of the listeners', () => {
  fc.assert(
    fc.property(panels, fc.constantFrom(0, 1e6), (cells, origin) => {
      const rows = rowsOf(cells);
      const before = panelPerformance({ rows });
      const moved = [...rows].reverse().map(({ listener, item, replicate, score }) => ({
        listener: `x${listener}`,
        item: `y${item}`,
        replicate: `z${replicate}`,
        score: origin + 2 * score,
      }));
      const after = panelPerformance({ rows: moved });
      before.panel.rows.forEach((row, i) => {
        const other = after.panel.rows[i];
        for (const figure of ['f', 'p'] as const) {
          if (row[figure] === null) expect(other?.[figure]).toBe(null);
          else expectClose(other?.[figure], row[figure], { relative: 1e-7, absolute: 1e-9 }, `${row.source} ${figure}`);
        }
        expectClose(other?.sumOfSquares, 4 * row.sumOfSquares, { relative: 1e-8, absolute: 1e-8 }, row.source);
      });
      for (const one of before.listeners) {
        const other = after.listeners.find(({ listener }) => listener === `x${one.listener}`);
        expectClose(other?.bias, 2 * one.bias, { relative: 1e-8, absolute: 1e-8 }, 'bias');
        if (one.agreement === null) expect(other?.agreement).toBe(null);
        else expectClose(other?.agreement, one.agreement, { relative: 1e-7, absolute: 1e-8 }, 'agreement');
      }
    }),
    { seed: 2, numRuns: 100 },
  );
});

const sound = [
  [
    [4, 5],
    [6, 6],
    [8, 9],
  ],
  [
    [5, 5],
    [6, 7],
    [8, 8],
  ],
  [
    [3, 4],
    [6, 5],
    [9, 8],
  ],
];

test('agreement is with the others only, 1 for the same order of means and −1 for the opposite', () => {
  const straight = [
    [
      [1, 1],
      [2, 3],
      [4, 4],
    ],
    [
      [11, 12],
      [13, 13],
      [14, 15],
    ],
  ];
  const [first, second] = straight;
  const turned = (first ?? []).map((cell) => cell.map((score) => -score));
  const agreement = (cells: number[][][]) => panelPerformance({ rows: rowsOf(cells) }).listeners[0]?.agreement;
  expectClose(agreement([first ?? [], second ?? []]), 1, near, 'same');
  expectClose(agreement([turned, second ?? []]), -1, near, 'opposite');
});

test('a listener who repeats exactly has no F, one who hears no difference agrees with nobody; the others keep theirs', () => {
  const exact = [
    [3, 3],
    [5, 5],
    [9, 9],
  ];
  const deaf = [
    [4, 6],
    [5, 5],
    [6, 4],
  ];
  const still = [
    [5, 5],
    [5, 5],
    [5, 5],
  ];
  const { listeners, panel } = panelPerformance({ rows: rowsOf([...sound, exact, deaf, still]) });
  const [good, , , repeats, hearsNothing, stays] = listeners;
  expect(good?.discriminationF).toBeGreaterThan(1);
  expect([repeats?.discriminationF, repeats?.discriminationP, repeats?.repeatabilitySd]).toEqual([null, null, 0]);
  expect(repeats?.agreement).toBeGreaterThan(0.9);
  expect([hearsNothing?.discriminationF, hearsNothing?.discriminationP]).toEqual([0, 1]);
  expect(hearsNothing?.agreement).toBe(null);
  expect([stays?.discriminationF, stays?.agreement, stays?.repeatabilitySd]).toEqual([null, null, 0]);
  expect(panel.rows.slice(0, 3).every(({ f, p }) => f !== null && p !== null)).toBe(true);
});

test('where nothing is left to test on, f and p are null: all repeat exactly, or all differ from one another by the same', () => {
  const exact = panelPerformance({
    rows: rowsOf([
      [
        [0.1, 0.1],
        [0.3, 0.3],
      ],
      [
        [0.2, 0.2],
        [0.7, 0.7],
      ],
    ]),
  }).panel.rows;
  expect(exact.map(({ f }) => f === null)).toEqual([true, false, true, true]);
  expect(exact[3]?.sumOfSquares).toBe(0);
  const parallel = panelPerformance({
    rows: rowsOf([
      [
        [0.1, 0.3],
        [0.2, 0.4],
      ],
      [
        [0.2, 0.4],
        [0.3, 0.5],
      ],
    ]),
  }).panel.rows;
  expect(parallel.map(({ p }) => p === null)).toEqual([false, true, false, true]);
  expect([parallel[2]?.sumOfSquares, parallel[2]?.f, parallel[2]?.p]).toEqual([0, 0, 1]);
});

test('names may be numbers; 1 and "1" are the same', () => {
  const rows = rowsOf(sound);
  const numbered = rows.map((row, i) => ({
    ...row,
    listener: i % 2 ? Number(String(row.listener).slice(1)) : String(row.listener).slice(1),
  }));
  expect(panelPerformance({ rows: numbered }).panel).toEqual(panelPerformance({ rows }).panel);
});

test('what is not balanced or too small is refused and named', () => {
  const rows = rowsOf(sound);
  const refuse = (changed: unknown[], code: 'inconsistent' | 'not-enough-data' | 'no-variation', path = 'rows') =>
    expectRefused(() => panelPerformance({ rows: changed as PanelScore[] }), code, path).message;
  const missing = rows.filter(({ listener, item }) => !(listener === 'P2' && item === 'B'));
  expect(refuse(missing, 'inconsistent')).toContain('0 replicates of item B by listener P2');
  expect(refuse(rows.slice(1), 'inconsistent')).toContain('1 replicates of item A by listener P1');
  expect(refuse([...rows, rows[4]], 'inconsistent', 'rows.18')).toContain('replicate 0 of item C by listener P1 again');
  expect(
    refuse(
      rows.filter(({ replicate }) => replicate === 0),
      'not-enough-data',
    ),
  ).toContain('one replicate');
  expect(
    refuse(
      rows.filter(({ listener }) => listener === 'P1'),
      'not-enough-data',
    ),
  ).toContain('listeners');
  expect(
    refuse(
      rows.filter(({ item }) => item === 'A'),
      'not-enough-data',
    ),
  ).toContain('items');
  expect(refuse([], 'not-enough-data')).toContain('too few');
  expect(
    refuse(
      rows.map((row) => ({ ...row, score: 0.1 })),
      'no-variation',
    ),
  ).toContain('one score only');
  const apart = Array.from({ length: 20_000 }, (_, i) => ({ listener: i, item: i, replicate: 1, score: i }));
  expect(refuse(apart, 'inconsistent')).toContain('0 replicates of item 1 by listener 0');
});

test('bad input is refused with its place', () => {
  const rows = rowsOf(sound);
  const unchecked = (field: string, value: unknown) => () =>
    panelPerformance({ rows: rows.map((row, i) => (i === 3 ? { ...row, [field]: value } : row)) });
  expectRefused(unchecked('score', Number.NaN), 'wrong-type', 'rows.3.score');
  expectRefused(unchecked('score', undefined), 'missing', 'rows.3.score');
  expectRefused(unchecked('score', '5'), 'wrong-type', 'rows.3.score');
  expectRefused(unchecked('listener', ''), 'wrong-type', 'rows.3.listener');
  expectRefused(unchecked('item', null), 'missing', 'rows.3.item');
  expectRefused(unchecked('replicate', Number.POSITIVE_INFINITY), 'wrong-type', 'rows.3.replicate');
  expectRefused(unchecked('scores', 5), 'unknown-option', 'rows.3.scores');
});
