import { expect, test } from 'vitest';
import { page } from '../../stats/page';
import { type PanelOrderInput, panelOrder } from '../../stats/panel-order';
import { seededRandom } from '../../stats/seeded-random';
import { shuffled } from '../../stats/shuffled';
import { signFlip } from '../../stats/sign-flip';
import { expectClose, expectRefused, rounding } from './support';

/** Ranks as deviations from the middle, times two. */
const rows = (...rankings: number[][]) => rankings.map((ranks) => ranks.map((rank) => 2 * rank - ranks.length - 1));
const exactly = (input: PanelOrderInput, p: number, what: string) => {
  const got = panelOrder(input);
  expect(got.exact, what).toBe(true);
  expectClose(got.p, p, rounding, what);
};

// Friedman (1937), JASA 32:675–701, exact tables for three items, as reprinted by Siegel (1956), Nonparametric Statistics,
// Table N, from memory; four digits there: n = 3: χ² = 6 p .028, 4.667 .194, 2.667 .361, 2 .528; n = 4: 8 .0046, 6.5 .042, 4.5 .125.
test('Friedman’s exact probabilities as they are tabulated', () => {
  const [abc, acb, bac, bca] = [
    [1, 2, 3],
    [1, 3, 2],
    [2, 1, 3],
    [2, 3, 1],
  ] as const;
  const tabled = (rankings: (readonly number[])[], digits: number, p: number) => {
    const got = panelOrder({ rows: rows(...rankings.map((one) => [...one])), by: 'shuffle' });
    expect(got.exact).toBe(true);
    expect(got.p).toBeCloseTo(p, digits);
  };
  tabled([abc, abc, abc], 3, 0.028);
  tabled([abc, abc, acb], 3, 0.194);
  tabled([abc, abc, abc, abc], 4, 0.0046);
  tabled([abc, abc, abc, acb], 3, 0.042);
  tabled([abc, acb, abc, bac], 3, 0.125);
  tabled([abc, acb, bac], 3, 0.361);
  tabled([abc, abc, bca], 3, 0.528);
});

test('with a trend it is Page’s exact test', () => {
  const random = seededRandom(4);
  for (let study = 0; study < 12; study++) {
    const rankings = Array.from({ length: 4 }, () => shuffled([1, 2, 3, 4].slice(0, study % 2 ? 3 : 4), random));
    const places = (rankings[0] as number[]).map((_, i) => i + 1);
    const got = panelOrder({ rows: rows(...rankings).slice(0, 3), by: 'shuffle', trend: places });
    expectClose(got.p, page({ scores: rankings.slice(0, 3) }).p, rounding, JSON.stringify(rankings));
  }
});

test('two items and whole listeners turned round: the sign-flip test', () => {
  const random = seededRandom(5);
  for (let study = 0; study < 20; study++) {
    const net = Array.from({ length: 2 + (study % 9) }, () => random.below(7) - 3);
    const both = net.map((one) => [one, -one]);
    exactly({ rows: both, by: 'flip' }, signFlip({ perListener: net }).p, `${net}`);
    const trend = [2, 1];
    exactly({ rows: both, by: 'flip', trend }, signFlip({ perListener: net, alternative: 'greater' }).p, `${net}`);
  }
});

test('whole listeners turned round, by counting all patterns here', () => {
  const listeners = rows([1, 2, 3, 4], [2, 1, 4, 3], [1, 3, 2, 4], [1, 2, 4, 3], [4, 1, 2, 3]);
  const spread = (signs: number) =>
    [0, 1, 2, 3].reduce(
      (sum, j) =>
        sum + listeners.reduce((all, row, i) => all + (signs & (1 << i) ? -1 : 1) * (row[j] as number), 0) ** 2,
      0,
    );
  const far = Array.from({ length: 32 }, (_, signs) => spread(signs)).filter((one) => one >= spread(0)).length;
  exactly({ rows: listeners, by: 'flip' }, far / 32, 'flips');
});

test('what was not served stays so: blocks are shuffled within, by counting all orders here', () => {
  const blocks = [
    [-2, 0, 2, null],
    [-2, null, 0, 2],
    [null, -2, 0, 2],
  ];
  const orders = [
    [-2, 0, 2],
    [-2, 2, 0],
    [0, -2, 2],
    [0, 2, -2],
    [2, -2, 0],
    [2, 0, -2],
  ] as const;
  const spread = (picked: readonly (readonly number[])[]) => {
    const sums = [0, 0, 0, 0];
    blocks.forEach((block, i) => {
      let next = 0;
      block.forEach((value, j) => {
        if (value !== null) sums[j] = (sums[j] as number) + ((picked[i] as readonly number[])[next++] as number);
      });
    });
    return sums.reduce((sum, one) => sum + one * one, 0);
  };
  const seen = spread([orders[0], orders[0], orders[0]]);
  const all = orders.flatMap((a) => orders.flatMap((b) => orders.map((c) => spread([a, b, c]))));
  exactly({ rows: blocks, by: 'shuffle' }, all.filter((one) => one >= seen).length / 216, 'blocks');
});

test('drawn arrangements come to what counting all gives, and the same seed to the same', () => {
  const random = seededRandom(6);
  // Seven listeners of three are counted, 6^6 ways; eight are drawn: one who ties everything changes no statistic.
  for (let study = 0; study < 4; study++) {
    const seven = rows(...Array.from({ length: 7 }, () => shuffled([1, 2, 3], random)));
    const counted = panelOrder({ rows: seven, by: 'shuffle' });
    const drawn = panelOrder({ rows: [...seven, [0, 0, 0]], by: 'shuffle', seed: study });
    expect([counted.exact, drawn.exact]).toEqual([true, false]);
    expect(Math.abs(drawn.p - counted.p)).toBeLessThan(
      5 * Math.sqrt((counted.p * (1 - counted.p)) / drawn.permutations),
    );
    expect(panelOrder({ rows: [...seven, [0, 0, 0]], by: 'shuffle', seed: study })).toEqual(drawn);
  }
  const eight = rows(...Array.from({ length: 9 }, () => shuffled([1, 2, 3, 4, 5, 6, 7, 8], random)));
  expect(panelOrder({ rows: eight, by: 'shuffle' }).exact).toBe(false);
  const alike = rows(...Array.from({ length: 9 }, () => [1, 2, 3, 4, 5, 6, 7, 8]));
  expect(panelOrder({ rows: alike, by: 'shuffle' }).p).toBe(1 / 10_000);
});

test('nothing to tell is p 1, and nobody is refused', () => {
  const flat = [
    [0, 0],
    [0, 0],
  ];
  expect(panelOrder({ rows: flat, by: 'flip' })).toMatchObject({ p: 1, exact: true });
  expectRefused(() => panelOrder({ rows: [], by: 'flip' }), 'not-enough-data', 'rows');
});
