import { expect, test } from 'vitest';
import { circularTriads } from '../../stats/circular-triads';
import { chiSquareUpper } from '../../stats/distributions';
import { seededRandom } from '../../stats/seeded-random';
import { expectClose, expectRefused, type ReferenceCase, references } from './support';

type Matrix = number[][];

/** Triples are looked at one by one: nothing in common with the formula under test. */
function counted(m: Matrix): number {
  let circular = 0;
  for (let a = 0; a < m.length; a++) {
    for (let b = a + 1; b < m.length; b++) {
      for (let c = b + 1; c < m.length; c++) {
        const [ab, bc, ca] = [m[a]?.[b], m[b]?.[c], m[c]?.[a]];
        if (ab === bc && bc === ca) circular++;
      }
    }
  }
  return circular;
}

/** The set of preferences whose bits are those of `code`, pair after pair. */
function decoded(n: number, code: number): Matrix {
  const m = Array.from({ length: n }, () => new Array<number>(n).fill(0));
  let bit = 0;
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const row = (code >>> bit++) & 1;
      (m[i] as number[])[j] = row;
      (m[j] as number[])[i] = 1 - row;
    }
  }
  return m;
}

test.each([3, 4, 5, 6])('all sets of preferences among %i items: triads, and the share with so many or fewer', (n) => {
  const sets = 2 ** ((n * (n - 1)) / 2);
  const frequencies: number[] = [];
  const results = new Map<number, ReturnType<typeof circularTriads>>();
  for (let code = 0; code < sets; code++) {
    const preferences = decoded(n, code);
    const d = counted(preferences);
    frequencies[d] = (frequencies[d] ?? 0) + 1;
    const result = circularTriads({ preferences });
    if (result.triads !== d) throw new Error(`${JSON.stringify(preferences)}: ${result.triads} instead of ${d}`);
    results.set(d, result);
  }
  for (const [d, { maximum, zeta, p, exact }] of results) {
    const upTo = frequencies.slice(0, d + 1).reduce((sum, count) => sum + (count ?? 0), 0);
    expect([exact, maximum, p]).toEqual([true, frequencies.length - 1, upTo / sets]);
    expectClose(zeta, 1 - d / (frequencies.length - 1), { relative: 1e-15, absolute: 1e-15 }, 'zeta');
  }
});

test.each(references<ReferenceCase<{ n: number }, { frequencies: number[] }>[]>('circular-triads-frequencies'))(
  '$id: $source',
  ({ inputs: { n }, expected: { frequencies } }) => {
    const sets = 2 ** ((n * (n - 1)) / 2);
    const seen = new Map<number, number>();
    const random = seededRandom('triads');
    while (seen.size < frequencies.length) {
      const { triads, p } = circularTriads({ preferences: decoded(n, random.below(sets)) });
      seen.set(triads, p);
      if (n === 7 && seen.size >= frequencies.length - 1) break;
    }
    for (const [d, p] of seen) {
      const upTo = frequencies.slice(0, d + 1).reduce((sum, count) => sum + count, 0);
      expect(p).toBe(upTo / sets);
    }
  },
);

type Case = ReferenceCase<
  { scores: number[] },
  {
    triads: number;
    maximum: number;
    zeta: number;
    p: number;
    chiSquare?: number;
    degreesOfFreedom?: number;
    pChiSquare?: number;
  }
>;

/** Preferences with the given numbers of wins, largest first (Havel–Hakimi for tournaments). */
function withScores(scores: number[]): Matrix {
  const m = scores.map(() => scores.map(() => 0));
  let open = scores.map((score, i) => ({ i, score }));
  while (open.length > 1) {
    open = open.sort((a, b) => a.score - b.score);
    const [{ i, score }, ...others] = open as [{ i: number; score: number }, ...{ i: number; score: number }[]];
    // The weakest left beats the `score` weakest of the others and loses to the rest.
    others.forEach((other, k) => {
      const wins = k < score;
      (m[wins ? i : other.i] as number[])[wins ? other.i : i] = 1;
      if (!wins) other.score--;
    });
    open = others;
  }
  return m;
}

test.each(references<Case[]>('circular-triads'))('$id: $source', ({ inputs, expected, tolerance, id }) => {
  const preferences = withScores(inputs.scores);
  expect(preferences.map((row) => row.reduce((a, b) => a + b, 0))).toEqual(inputs.scores);
  const got = circularTriads({ preferences });
  expect([got.triads, got.maximum]).toEqual([expected.triads, expected.maximum]);
  expectClose(got.zeta, expected.zeta, tolerance, `${id} zeta`);
  expectClose(got.p, expected.p, tolerance, `${id} p`);
  if (expected.chiSquare === undefined) return;
  // The published χ² of small panels checks the tail that is used beyond seven items.
  const p = chiSquareUpper(expected.chiSquare, expected.degreesOfFreedom ?? Number.NaN);
  expectClose(p, expected.pChiSquare ?? Number.NaN, tolerance, `${id} chi-square`);
});

test('beyond seven items it says that p is approximate, and p grows with the number of triads', () => {
  const random = seededRandom(9);
  const seen = new Map<number, number>();
  for (let i = 0; i < 60; i++) {
    const preferences = decoded(8, random.below(2 ** 28));
    const { triads, p, exact } = circularTriads({ preferences });
    expect([exact, triads]).toEqual([false, counted(preferences)]);
    seen.set(triads, p);
  }
  const sorted = [...seen].sort(([a], [b]) => a - b).map(([, p]) => p);
  expect(sorted).toEqual([...sorted].sort((a, b) => a - b));
  const straight = Array.from({ length: 9 }, (_, i) => Array.from({ length: 9 }, (_, j) => (i < j ? 1 : 0)));
  // n = 9, d = 0: ν = 9·8·7/25, χ² = 8/5·(84/4 + ½) + ν.
  const expected = chiSquareUpper(1.6 * 21.5 + 20.16, 20.16);
  expectClose(circularTriads({ preferences: straight }).p, expected, { relative: 1e-12, absolute: 0 }, 'nine in a row');
});

test('a diagonal of null will do; too few items, a gap or a contradiction won’t', () => {
  expect(
    circularTriads({
      preferences: [
        [null, 1, 1],
        [0, null, 1],
        [0, 0, null],
      ],
    }),
  ).toMatchObject({ triads: 0, p: 0.75 });
  expectRefused(
    () =>
      circularTriads({
        preferences: [
          [0, 1],
          [0, 0],
        ],
      }),
    'not-enough-data',
    'preferences',
  );
  const gap = [
    [0, 1, 1],
    [0, 0],
    [0, 0, 0],
  ];
  expectRefused(() => circularTriads({ preferences: gap }), 'not-enough-data', 'preferences.1');
  const both = [
    [0, 1, 1],
    [1, 0, 1],
    [0, 0, 0],
  ];
  expectRefused(() => circularTriads({ preferences: both }), 'inconsistent', 'preferences.0.1');
  const half = [
    [0, 0.5, 1],
    [0.5, 0, 1],
    [0, 0, 0],
  ];
  expectRefused(() => circularTriads({ preferences: half }), 'wrong-type', 'preferences.0.1');
});

test('renaming the items and turning every preference change nothing, from 3 to 12 items', () => {
  const random = seededRandom('renamed');
  for (let n = 3; n <= 12; n++) {
    const preferences = Array.from({ length: n }, () => new Array<number>(n).fill(0));
    for (let i = 0; i < n; i++) {
      for (let j = i + 1; j < n; j++) {
        const win = random.below(2);
        (preferences[i] as number[])[j] = win;
        (preferences[j] as number[])[i] = 1 - win;
      }
    }
    const straight = circularTriads({ preferences });
    expect(straight.triads).toBe(counted(preferences));
    const order = Array.from({ length: n }, (_, i) => (i * (n - 1) + 2) % n);
    const renamed = order.map((i) => order.map((j) => preferences[i]?.[j] as number));
    expect(circularTriads({ preferences: renamed })).toEqual(straight);
    const turned = preferences.map((row, i) => row.map((win, j) => (i === j ? 0 : 1 - win)));
    expect(circularTriads({ preferences: turned })).toEqual(straight);
  }
});

test('the most circular triads there can be: zeta is 0 and p all but 1', () => {
  for (const n of [9, 31, 99]) {
    // Each item beats the half that follows it round a circle.
    const preferences = Array.from({ length: n }, (_, i) =>
      Array.from({ length: n }, (_, j) => ((j - i + n) % n > 0 && (j - i + n) % n <= (n - 1) / 2 ? 1 : 0)),
    );
    const got = circularTriads({ preferences });
    expect([got.triads, got.zeta]).toEqual([(n ** 3 - n) / 24, 0]);
    expect(got.p).toBeGreaterThan(0.99);
    expect(got.p).toBeLessThanOrEqual(1);
  }
});
