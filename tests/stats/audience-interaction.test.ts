import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { audienceInteraction } from '../../stats/audience-interaction';
import type { AudienceRow } from '../../stats/audience-rows';
import { seededRandom } from '../../stats/seeded-random';
import { expectClose, expectRefused, rounding } from './support';

/** One audience a list, one listener a figure. */
const rowsOf = (...audiences: number[][]): AudienceRow[] =>
  audiences.flatMap((figures, a) =>
    figures.map((value, i) => ({ listener: `${'abcd'[a]}${i}`, audience: `audience ${a}`, value })),
  );

/** Every order of the figures, cut into audiences of the same sizes. */
function orders(figures: number[]): number[][] {
  if (figures.length === 0) return [[]];
  return figures.flatMap((one, i) => orders(figures.toSpliced(i, 1)).map((rest) => [one, ...rest]));
}

/** n·Σ(differences of two means)² over pairs of audiences: Σ n·(mean − mean of all)² without a mean of all. */
function apart(figures: number[], sizes: number[]): number {
  let from = 0;
  const means = sizes.map((size) => {
    from += size;
    return figures.slice(from - size, from).reduce((sum, one) => sum + one, 0) / size;
  });
  let total = 0;
  for (let i = 0; i < sizes.length; i++) {
    for (let j = 0; j < i; j++) {
      total += (sizes[i] as number) * (sizes[j] as number) * ((means[i] as number) - (means[j] as number)) ** 2;
    }
  }
  return total / figures.length;
}

/** p by all orders of the listeners, the same deal counted as often as it comes. */
function enumerated(audiences: number[][]): number {
  const sizes = audiences.map(({ length }) => length);
  const seen = apart(audiences.flat(), sizes);
  const all = orders(audiences.flat());
  return all.filter((order) => apart(order, sizes) >= seen - 1e-9).length / all.length;
}

const panels = fc
  .array(fc.array(fc.integer({ min: -3, max: 3 }), { minLength: 1, maxLength: 4 }), { minLength: 2, maxLength: 4 })
  .filter((audiences) => audiences.flat().length <= 7);

test('statistic by pairs of audiences, p by all orders of up to 7 listeners in 2 to 4 audiences', () => {
  fc.assert(
    fc.property(panels, (audiences) => {
      const sizes = audiences.map(({ length }) => length);
      const got = audienceInteraction({ rows: rowsOf(...audiences) });
      const what = JSON.stringify(audiences);
      expect(got.exact).toBe(true);
      expectClose(got.statistic, apart(audiences.flat(), sizes), { relative: 1e-12, absolute: 1e-12 }, what);
      expectClose(got.p, enumerated(audiences), rounding, what);
      expect(got.audiences.map(({ listeners }) => listeners)).toEqual(sizes);
    }),
    { seed: 1, numRuns: 60 },
  );
});

test('shares of three trials tie like the counts behind them', () => {
  const [home, stage] = [
    [3, 2, 3, 1],
    [0, 1, 2],
  ];
  const shares = rowsOf(home?.map((wins) => wins / 3) ?? [], stage?.map((wins) => 1 - (3 - wins) / 3) ?? []);
  expectClose(audienceInteraction({ rows: shares }).p, enumerated([home ?? [], stage ?? []]), rounding, 'thirds');
});

test('the listener is the unit: several rows count by their mean, wins as values', () => {
  const rows = rowsOf([3, 2, 4], [0, 1, 0, 1]);
  const expected = audienceInteraction({ rows });
  const split = rows.flatMap((row, i) =>
    Array.from({ length: 1 + (i % 3) * 2 }, (_, k) => ({ ...row, value: (row.value ?? 0) + k - (i % 3) })),
  );
  expect(split.length).toBeGreaterThan(rows.length);
  expect(audienceInteraction({ rows: split })).toEqual(expected);
  const wins = rows.map(({ listener, audience, value }) => ({ listener, audience, wins: value }));
  expect(audienceInteraction({ rows: wins })).toEqual(expected);
});

test('order of rows, names, origin and unit change nothing; nor does which audience comes first', () => {
  fc.assert(
    fc.property(panels, fc.constantFrom(0, 1e6), (audiences, origin) => {
      const rows = rowsOf(...audiences);
      const before = audienceInteraction({ rows });
      const moved = rows.toReversed().map(({ listener, audience, value }) => ({
        listener: `x${listener}`,
        audience: `y${audience}`,
        value: origin - 2 * (value ?? 0),
      }));
      const after = audienceInteraction({ rows: moved });
      expect(after.p).toBe(before.p);
      expectClose(after.statistic, 4 * before.statistic, { relative: 1e-9, absolute: 1e-8 }, 'statistic');
      expect(after.audiences.map(({ listeners }) => listeners)).toEqual(
        before.audiences.map(({ listeners }) => listeners).reverse(),
      );
    }),
    { seed: 2, numRuns: 100 },
  );
});

describe('more ways than are counted', () => {
  const random = seededRandom(11);
  const figures = (count: number, from: number) =>
    Array.from({ length: count }, () => from + Math.round(8 * random.uniform()) / 4);
  const rows = rowsOf(figures(14, 0), figures(12, 0.5));

  test('random ones, the same for the same seed, whatever the order of the rows', () => {
    const got = audienceInteraction({ rows, seed: 3 });
    expect([got.exact, got.permutations]).toEqual([false, 10_000]);
    expect(audienceInteraction({ rows: rows.toReversed(), seed: 3 }).p).toBe(got.p);
    expect(audienceInteraction({ rows, seed: 4 }).p).not.toBe(got.p);
    expect(audienceInteraction({ rows, permutations: 500 }).permutations).toBe(500);
  });

  test('their p is near the exact one of two audiences: whole quarters dealt by counting sums', () => {
    // Ways to choose 12 of 26 by their sum in quarters: a table filled listener by listener.
    const quarters = rows.map(({ value }) => Math.round((value ?? 0) * 4));
    const total = quarters.reduce((sum, one) => sum + one, 0);
    const ways = Array.from({ length: 13 }, () => new Float64Array(total + 1));
    (ways[0] as Float64Array)[0] = 1;
    for (const one of quarters) {
      for (let taken = 12; taken >= 1; taken--) {
        const [to, from] = [ways[taken] as Float64Array, ways[taken - 1] as Float64Array];
        for (let sum = total; sum >= one; sum--) to[sum] = (to[sum] as number) + (from[sum - one] as number);
      }
    }
    const seen = quarters.slice(14).reduce((sum, one) => sum + one, 0);
    const off = (sum: number) => Math.abs(sum - (12 * total) / 26);
    const last = ways[12] as Float64Array;
    const far = last.reduce((count, many, sum) => (off(sum) >= off(seen) - 1e-9 ? count + many : count), 0);
    const exact = far / last.reduce((count, many) => count + many, 0);
    const got = audienceInteraction({ rows, permutations: 40_000 });
    // Four standard errors of 40,000 ways.
    expect(Math.abs(got.p - exact)).toBeLessThan(4 * Math.sqrt((exact * (1 - exact)) / 40_000));
  });

  test('never 0', () => {
    const split = rowsOf(Array<number>(15).fill(0), Array<number>(15).fill(1));
    expect(audienceInteraction({ rows: split, permutations: 200 }).p).toBe(1 / 201);
  });
});

test('edges: one listener each, everyone alike, a few beside many', () => {
  expect(audienceInteraction({ rows: rowsOf([1], [5]) })).toMatchObject({ statistic: 8, p: 1, permutations: 2 });
  expect(audienceInteraction({ rows: rowsOf([0.1, 0.1], [0.1, 0.1, 0.1]) })).toMatchObject({ statistic: 0, p: 1 });
  // One apart from 400 alike: of 401 ways to sit alone, one is as far.
  expect(audienceInteraction({ rows: rowsOf(Array<number>(400).fill(2), [3]) })).toMatchObject({ p: 1 / 401 });
  const many = audienceInteraction({ rows: rowsOf(Array<number>(1001).fill(2), [3]), permutations: 100 });
  expect(many.exact).toBe(false);
});

test('audiences that answer alike are told apart in at most α, over 2,000 panels of 6 and 4; opposites nearly always', () => {
  const found = (difference: number, panels: number) => {
    const random = seededRandom(`alike ${difference}`);
    const figures = (count: number, more: number) =>
      Array.from({ length: count }, () => more + Math.round(6 * random.uniform()) / 6);
    let told = 0;
    for (let i = 0; i < panels; i++) {
      const rows = rowsOf(figures(6, 0), figures(4, difference));
      if (audienceInteraction({ rows }).p <= 0.05) told++;
    }
    return told / panels;
  };
  // Three standard errors of 2,000 panels at 5 % are 1.5 points.
  const wrong = found(0, 2000);
  expect(wrong).toBeLessThanOrEqual(0.065);
  expect(wrong).toBeGreaterThan(0.02);
  expect(found(0.9, 200)).toBeGreaterThan(0.9);
});

test('bad input is refused with its place', () => {
  const rows = rowsOf([1, 2], [3, 4]);
  const refuse = (changed: object[], code: Parameters<typeof expectRefused>[1], path: string) =>
    expectRefused(() => audienceInteraction({ rows: changed as AudienceRow[] }), code, path).message;
  const spoilt = (field: string, value: unknown) => rows.map((row, i) => (i === 2 ? { ...row, [field]: value } : row));
  refuse(spoilt('value', Number.NaN), 'wrong-type', 'rows.2.value');
  refuse(spoilt('value', undefined), 'missing', 'rows.2.value');
  refuse(spoilt('wins', 2), 'inconsistent', 'rows.2.value');
  refuse(spoilt('listener', ''), 'wrong-type', 'rows.2.listener');
  refuse(spoilt('audience', null), 'missing', 'rows.2.audience');
  refuse(spoilt('score', 2), 'unknown-option', 'rows.2.score');
  expect(refuse(spoilt('listener', 'a0'), 'inconsistent', 'rows.2.audience')).toContain('audience 0');
  const mixed = rows.map((row, i) => (i === 3 ? { listener: row.listener, audience: row.audience, wins: 1 } : row));
  expect(refuse(mixed, 'inconsistent', 'rows.3.wins')).toContain('value in every row');
  refuse(
    mixed.map((row) => ({ listener: row.listener, audience: row.audience, wins: -1 })),
    'out-of-range',
    'rows.0.wins',
  );
  refuse(rows.slice(0, 2), 'not-enough-data', 'rows');
  refuse(rows.slice(0, 1), 'not-enough-data', 'rows');
  expectRefused(() => audienceInteraction({ rows, permutations: 99 }), 'out-of-range', 'permutations');
  expectRefused(() => audienceInteraction({ rows, seed: 1.5 }), 'wrong-type', 'seed');
});

test('names may be numbers; 1 and "1" are the same', () => {
  const named = (listener: string | number, audience: string | number, value: number) => ({
    listener,
    audience,
    value,
  });
  const rows = [named('1', 'home', 2), named(1, 'home', 4), named(2, 7, 1), named(3, '7', 1)];
  expect(audienceInteraction({ rows }).audiences).toEqual([
    { audience: 'home', listeners: 1, mean: 3 },
    { audience: 7, listeners: 2, mean: 1 },
  ]);
});
