import { expect, test } from 'vitest';
import { type CoefficientOfAgreementInput, coefficientOfAgreement } from '../../stats/coefficient-of-agreement';
import { seededRandom } from '../../stats/seeded-random';
import { cells, expectClose, expectRefused, type ReferenceCase, references } from './support';

type Case = ReferenceCase<
  CoefficientOfAgreementInput,
  { u: number; chiSquare: number; degreesOfFreedom: number; p: number }
>;

test.each(references<Case[]>('coefficient-of-agreement'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const got = coefficientOfAgreement(inputs);
  for (const name of ['u', 'chiSquare', 'degreesOfFreedom', 'p'] as const) {
    expectClose(got[name], expected[name], tolerance, `${id} ${name}`);
  }
});

/** Row against column, from how many listeners preferred the first of each two items. */
function table(items: number, forward: number[], listeners: number): number[][] {
  const wins = Array.from({ length: items }, () => new Array<number>(items).fill(0));
  let pair = 0;
  for (let i = 0; i < items; i++) {
    for (let j = i + 1; j < items; j++) {
      const count = forward[pair++] ?? 0;
      (wins[i] as number[])[j] = count;
      (wins[j] as number[])[i] = listeners - count;
    }
  }
  return wins;
}

test('u is the mean over every two listeners of the pairs on which they agree less those on which they don’t', () => {
  const random = seededRandom('agreement');
  for (let run = 0; run < 60; run++) {
    const items = 2 + random.below(5);
    const listeners = 3 + random.below(6);
    const pairs = (items * (items - 1)) / 2;
    const answers = Array.from({ length: listeners }, () => Array.from({ length: pairs }, () => random.below(2)));
    let agreed = 0;
    let couples = 0;
    answers.forEach((own, a) => {
      for (const other of answers.slice(a + 1)) {
        couples++;
        own.forEach((answer, k) => {
          agreed += answer === other[k] ? 1 : -1;
        });
      }
    });
    const forward = Array.from({ length: pairs }, (_, k) => answers.reduce((sum, own) => sum + (own[k] ?? 0), 0));
    const { u } = coefficientOfAgreement({ wins: table(items, forward, listeners), listeners });
    expectClose(u, agreed / couples / pairs, { relative: 1e-12, absolute: 1e-12 }, `${items} ${listeners}`);
  }
});

test.each([
  [3, 3],
  [3, 4],
  [3, 5],
  [3, 8],
  [4, 3],
])(
  '%i items, %i listeners who toss: over all outcomes the χ² has mean, variance and skew of its distribution',
  (items, listeners) => {
    const pairs = (items * (items - 1)) / 2;
    const ways = (count: number) => {
      let all = 1;
      for (let i = 0; i < count; i++) all = (all * (listeners - i)) / (i + 1);
      return all / 2 ** listeners;
    };
    const moments = [0, 0, 0, 0];
    let df = 0;
    for (let outcome = 0; outcome < (listeners + 1) ** pairs; outcome++) {
      const forward = Array.from(
        { length: pairs },
        (_, k) => Math.floor(outcome / (listeners + 1) ** k) % (listeners + 1),
      );
      const probability = forward.reduce((product, count) => product * ways(count), 1);
      const { chiSquare, degreesOfFreedom } = coefficientOfAgreement({
        wins: table(items, forward, listeners),
        listeners,
      });
      df = degreesOfFreedom;
      expect(chiSquare).toBeGreaterThan(0);
      for (let k = 0; k < 4; k++) moments[k] = (moments[k] ?? 0) + probability * (chiSquare - df) ** k;
    }
    expect(moments[0]).toBeCloseTo(1, 12);
    expect(moments[1]).toBeCloseTo(0, 9);
    expectClose(moments[2], 2 * df, { relative: 1e-10, absolute: 0 }, 'variance');
    expectClose(moments[3], 8 * df, { relative: 1e-10, absolute: 0 }, 'third moment');
  },
);

test('all alike is 1; an even split is the least; more agreement, less p', () => {
  expect(coefficientOfAgreement({ wins: table(3, [5, 5, 5], 5), listeners: 5 }).u).toBe(1);
  expectClose(
    coefficientOfAgreement({ wins: table(3, [2, 3, 2], 5), listeners: 5 }).u,
    -1 / 5,
    { relative: 1e-12, absolute: 0 },
    'odd',
  );
  expectClose(
    coefficientOfAgreement({ wins: table(3, [3, 3, 3], 6), listeners: 6 }).u,
    -1 / 5,
    { relative: 1e-12, absolute: 0 },
    'even',
  );
  const ps = [5, 6, 7, 8, 9, 10].map(
    (count) => coefficientOfAgreement({ wins: table(2, [count], 10), listeners: 10 }).p,
  );
  expect(ps).toEqual([...ps].sort((a, b) => b - a));
  const many = coefficientOfAgreement({ wins: table(6, new Array<number>(15).fill(40), 40), listeners: 40 });
  expect(many.p).toBeGreaterThan(0);
  expect(many.p).toBeLessThan(1e-60);
});

test('renaming the items, and turning every preference, change nothing', () => {
  const wins = table(4, [3, 0, 2, 5, 1, 4], 5);
  const straight = coefficientOfAgreement({ wins, listeners: 5 });
  const order = [2, 0, 3, 1];
  const renamed = order.map((i) => order.map((j) => wins[i]?.[j] as number));
  expect(coefficientOfAgreement({ wins: renamed, listeners: 5 })).toEqual(straight);
  const turned = order.map((_, i) => order.map((_, j) => wins[j]?.[i] as number));
  expect(coefficientOfAgreement({ wins: turned, listeners: 5 })).toEqual(straight);
  const gaps = wins.map((row, i) => row.map((count, j) => (i === j ? null : count)));
  expect(coefficientOfAgreement({ wins: gaps, listeners: 5 })).toEqual(straight);
});

test('too few listeners for a χ², cells that don’t mirror, and what is no count', () => {
  const wins = [
    [0, 2],
    [1, 0],
  ];
  const few = expectRefused(
    () =>
      coefficientOfAgreement({
        wins: cells('0 1, 1 0'),
        listeners: 2,
      }),
    'not-enough-data',
    'listeners',
  );
  expect(few.message).toContain('at least 3');
  expectRefused(() => coefficientOfAgreement({ wins, listeners: 1 }), 'not-enough-data', 'listeners');
  expectRefused(() => coefficientOfAgreement({ wins, listeners: 0 }), 'out-of-range', 'listeners');
  expectRefused(() => coefficientOfAgreement({ wins, listeners: 4 }), 'inconsistent', 'wins.0.1');
  expectRefused(
    () =>
      coefficientOfAgreement({
        wins: cells('0 4, -1 0'),
        listeners: 3,
      }),
    'out-of-range',
    'wins.0.1',
  );
  expectRefused(
    () =>
      coefficientOfAgreement({
        wins: cells('0 1.5, 1.5 0'),
        listeners: 3,
      }),
    'wrong-type',
    'wins.0.1',
  );
  expectRefused(
    () =>
      coefficientOfAgreement({
        wins: cells('1 2, 1 0'),
        listeners: 3,
      }),
    'wrong-type',
    'wins.0.0',
  );
  expectRefused(() => coefficientOfAgreement({ wins: [[0]], listeners: 3 }), 'not-enough-data', 'wins');
  expectRefused(
    () =>
      coefficientOfAgreement({
        wins: cells('0 2 1, 1 0'),
        listeners: 3,
      }),
    'out-of-range',
    'wins.0',
  );
  expectRefused(() => coefficientOfAgreement({ wins, listener: 3 } as never), 'unknown-option', 'listener');
});
