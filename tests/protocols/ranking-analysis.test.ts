import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../protocols/protocol';
import { analyseRanking } from '../../protocols/ranking-analysis';
import { groupsOf } from '../../protocols/ranking-detail';
import type { RankingDetail } from '../../protocols/results';
import type { PrototypeId } from '../../shared/brands';
import { summary } from '../../stats/summary';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { references } from '../stats/support';
import { panelOf, ranked } from './ranked';

const planOf = (prototypes: number, size: number, wish: PlanWish = {}) =>
  aPlan({ method: 'ranking', prototypes, spec: { size, rankings: 1, predicted: false }, ...wish });
const predicted: PlanWish = { risks: { sides: 'one-sided' } };
const three = planOf(3, 3);
const four = planOf(4, 4);

function analysed(outcomes: Outcome[], plan = three) {
  const [result] = analyseRanking(outcomes, plan).results;
  if (!result) throw new Error('no audience');
  return { ...result, ranking: result.ranking as RankingDetail };
}
const letter = (id: string | null) => id?.replace('proto-', '') ?? null;

/** Rankings out of a table of ranks or scores, lowest first: one listener a row. */
const fromTable = (scores: readonly (readonly (number | null)[])[]): Outcome[] =>
  scores.flatMap((row, i) => {
    const served = row.flatMap((score, j) => (score === null ? [] : [{ score, letter: 'abcdefgh'[j] as string }]));
    return ranked(
      `L${i}`,
      served
        .toSorted((x, y) => x.score - y.score)
        .map((one) => one.letter)
        .join(''),
    );
  });

interface Published {
  id: string;
  inputs: { scores: (number | null)[][] };
  expected: Record<string, number>;
}
const published = (name: string, id: string): Published => {
  const found = references<Published[]>(name).find((one) => one.id === id);
  if (!found) throw new Error(`no ${id}`);
  return found;
};

describe('published figures stand beside the verdict', () => {
  // Sources stand with each case in tests/references: Friedman 1937; Conover 1999; Hollander & Wolfe 1973.
  test('Friedman: χ², its p, W, and the exact p of the table that decides', () => {
    const { inputs, expected } = published('friedman', 'friedman-exact-4x3');
    const { p, ranking } = analysed(fromTable(inputs.scores));
    expect(ranking.statistic).toBeCloseTo(expected.chiSquare as number, 10);
    expect(ranking.approximateP).toBeCloseTo(expected.p as number, 10);
    expect(ranking.agreement).toBeCloseTo(expected.kendallW as number, 10);
    expect(ranking.exact).toBe(true);
    expect(p).toBeCloseTo(expected.pExact as number, 12);
    expect(ranking.ranks.map(({ rankSum }) => rankSum)).toEqual([5, 8, 11]);
  });

  test('Durbin: seven ice creams, three to a judge (Conover 1999)', () => {
    const { inputs, expected } = published('durbin', 'durbin-ice');
    const { ranking } = analysed(fromTable(inputs.scores), planOf(7, 3));
    expect(ranking).toMatchObject({ test: 'durbin', degreesOfFreedom: 6, agreement: null, balanced: true });
    expect(ranking.statistic).toBeCloseTo(12, 10);
    expect(ranking.approximateP).toBeCloseTo(expected.p as number, 10);
    expect(ranking.turned).toBe('ranks-of-listeners');
  });

  test('Page: L and the exact p of the cotton data (Hollander & Wolfe 1973)', () => {
    const { inputs, expected } = published('page', 'page-cotton');
    const plan = planOf(5, 5, { ...predicted, spec: { size: 5, rankings: 1, predicted: true } });
    const { p, ranking } = analysed(fromTable(inputs.scores), plan);
    expect(ranking).toMatchObject({ test: 'page', statistic: 158 });
    expect(ranking.approximateP).toBeCloseTo(expected.p as number, 10);
    // Drawn, with a standard error of 0.0005.
    expect(Math.abs((p as number) - (expected.p as number))).toBeLessThan(0.002);
  });
});

describe('the verdict', () => {
  test('names who leads when that one is separated from every other', () => {
    const { verdict, preferred, ranking, estimate, p, pAdjusted } = analysed(
      panelOf([
        ['abc', 6],
        ['acb', 4],
      ]),
    );
    expect([verdict, letter(preferred)]).toEqual(['preferred', 'a']);
    expect(ranking.pairs.map(({ separated }) => separated)).toEqual([true, true, false]);
    expect(ranking.groups.map((group) => group.map(letter).join(''))).toEqual(['a', 'bc']);
    expect(estimate).toMatchObject({ name: 'share', value: 1, level: 0.95 });
    expect(pAdjusted).toBe(p);
  });

  test('names nobody where two lead together', () => {
    const { verdict, preferred, ranking } = analysed(
      panelOf([
        ['abc', 6],
        ['bac', 6],
      ]),
    );
    expect([verdict, preferred]).toEqual(['preferred', null]);
    expect(ranking.groups.map((group) => group.map(letter).join(''))).toEqual(['ab', 'c']);
  });

  test('takes a pair beside the order: an order without one is undecided', () => {
    const panel = panelOf([
      ['abcd', 3],
      ['bacd', 2],
      ['abdc', 2],
      ['dbac', 1],
      ['cadb', 1],
      ['acdb', 1],
    ]);
    const { verdict, preferred, pAdjusted, ranking } = analysed(panel, four);
    expect(pAdjusted).toBeLessThan(0.05);
    expect(Math.min(...ranking.pairs.map((pair) => pair.pAdjusted))).toBeGreaterThan(0.05);
    expect([verdict, preferred]).toEqual(['undecided', null]);
    expect(ranking.pairs.some(({ separated }) => separated)).toBe(false);
  });

  test('six of one mind can’t separate one of three pairs, seven can', () => {
    expect(analysed(panelOf([['abc', 6]])).verdict).toBe('not-enough-data');
    expect(analysed(panelOf([['abc', 7]])).verdict).toBe('preferred');
    // With a predicted order each pair is looked at one way, so that six can.
    const plan = planOf(3, 3, { ...predicted, spec: { size: 3, rankings: 1, predicted: true } });
    expect(analysed(panelOf([['abc', 6]]), plan).verdict).toBe('preferred');
    expect(analysed(panelOf([['cba', 12]]), plan)).toMatchObject({ verdict: 'undecided', p: 1 });
  });

  test('too close to matter only where every pair is', () => {
    expect(analysed(panelOf([['abc cba', 60]])).verdict).toBe('not-separated');
    expect(analysed(panelOf([['abc cba', 8]])).verdict).toBe('undecided');
    // b before c for 37 of 57: an interval that reaches past 75 % there is enough.
    const one = analysed(
      panelOf([
        ['abc', 27],
        ['cba', 20],
        ['bca', 10],
      ]),
    );
    expect(one.estimate?.upper).toBeLessThan(0.75);
    expect(one.verdict).toBe('undecided');
  });

  test('several rankings of one listener are one listener: one who says it ten times shows nothing', () => {
    const often = Array(10).fill('abc').join(' ');
    expect(analysed([...ranked('one', often), ...ranked('two', often)])).toMatchObject({
      verdict: 'not-enough-data',
      n: { listeners: 2, trials: 20 },
    });
  });
});

describe('two audiences', () => {
  const plan = planOf(3, 3, {
    audiences: [
      ['home', 8],
      ['stage', 8],
    ],
  });

  test('are corrected: the order over audiences, pairs over pairs and audiences', () => {
    const outcomes = [
      ...panelOf([['abc', 8]]),
      ...panelOf(
        [
          ['abc', 5],
          ['cba', 3],
        ],
        'stage',
      ),
    ];
    const { results, interaction } = analyseRanking(outcomes, plan);
    const [home, stage] = results;
    expect(home?.pAdjusted).toBeCloseTo(2 * (home?.p as number), 10);
    // Eight of one mind: 2/2^8 in each pair. Of two audiences the primary pair has a quarter of the weight, and the two
    // others of this audience an eighth each: 4 · p, then 8 · 3/4 · p and 8 · 5/8 · p, none below the one before.
    expect(home?.ranking?.pairs.map((pair) => (pair.pAdjusted * 256) / 2)).toEqual([4, 6, 6]);
    expect([home?.verdict, stage?.verdict]).toEqual(['preferred', 'undecided']);
    expect(interaction).toMatchObject({ of: 'share' });
  });
});

describe('incomplete blocks', () => {
  const plan = planOf(4, 3, { audiences: [['home', 8]] });
  const design = ['abc', 'abd', 'acd', 'bcd'];

  test('one block a listener: ranks are dealt anew within it, and all that met either of a pair count', () => {
    const { ranking, verdict, n } = analysed(panelOf(design.map((block) => [block, 4])), plan);
    expect(ranking).toMatchObject({ test: 'durbin', turned: 'ranks-of-listeners', balanced: true, size: 3 });
    expect(ranking.ranks.map(({ prototype, times }) => [letter(prototype), times])).toEqual([
      ['a', 12],
      ['b', 12],
      ['c', 12],
      ['d', 12],
    ]);
    expect(n).toMatchObject({ listeners: 16, trials: 16 });
    expect(verdict).toBe('preferred');
  });

  test('several blocks a listener: listeners as a whole are turned round', () => {
    const { ranking, p } = analysed(panelOf([['abc abd acd bcd', 6]]), plan);
    expect(ranking.turned).toBe('whole-listeners');
    expect(p).toBeCloseTo(2 / 2 ** 6, 12);
  });

  test('missed sittings leave some who met more often: said, and pairs go by rankings with both', () => {
    const { ranking, warnings } = analysed(
      panelOf([
        ['abc', 5],
        ['abd', 5],
        ['acd', 2],
        ['bcd', 4],
      ]),
      plan,
    );
    expect(ranking).toMatchObject({ balanced: false, statistic: null, approximateP: null });
    expect(warnings).toContain('blocks-not-complete');
    // c and d met in six rankings, all of one mind.
    const cd = ranking.pairs.find(({ first, second }) => letter(first) === 'c' && letter(second) === 'd');
    expect(cd?.p).toBeCloseTo(2 / 2 ** 6, 12);
  });
});

describe('mean ranks', () => {
  test('of complete rankings: over listeners, with the t interval of their own means', () => {
    const panel = [
      ['abcd abdc bacd', 3],
      ['dabc', 2],
      ['acbd adbc', 4],
    ] as const;
    const { ranking } = analysed(panelOf(panel), four);
    // b came 2, 2 and 1 with three listeners, 3 with two, 3 and 3 with four.
    const { mean, lower, upper } = summary({ values: [5 / 3, 5 / 3, 5 / 3, 3, 3, 3, 3, 3, 3] });
    const b = ranking.ranks.find(({ prototype }) => letter(prototype) === 'b');
    expect(b?.meanRank).toBeCloseTo(mean, 12);
    expect(b?.lower).toBeCloseTo(lower as number, 10);
    expect(b?.upper).toBeCloseTo(upper as number, 10);
    expect(b).toMatchObject({ times: 19, rankSum: 3 * 5 + 2 * 3 + 4 * 6 });
  });

  test('in blocks every ranking counts the same, so that they go with the rank sums', () => {
    const plan = planOf(4, 3, { audiences: [['home', 8]] });
    const { ranking } = analysed(
      panelOf([
        ['abc abd', 4],
        ['acd dbc', 4],
        ['bac dab', 4],
        ['cda cdb', 4],
      ]),
      plan,
    );
    for (const { meanRank, rankSum, times } of ranking.ranks) expect(meanRank).toBeCloseTo(rankSum / times, 12);
    const mean = (name: string) =>
      ranking.ranks.find(({ prototype }) => letter(prototype) === name)?.meanRank as number;
    for (const { first, second, difference } of ranking.pairs) {
      expect(difference).toBeCloseTo(mean(letter(first) as string) - mean(letter(second) as string), 12);
    }
  });
});

test('groups are the longest runs without a separated pair', () => {
  const ids = [...'abcde'] as PrototypeId[];
  const apart = (pairs: string) => (x: PrototypeId, y: PrototypeId) =>
    pairs.split(' ').includes([x, y].sort().join(''));
  const groups = (pairs: string) => groupsOf(ids, apart(pairs)).map((group) => group.join(''));
  expect(groups('')).toEqual(['abcde']);
  expect(groups('ad ae be')).toEqual(['abc', 'bcd', 'cde']);
  expect(groups('ab ac ad ae')).toEqual(['a', 'bcde']);
  expect(groups('ab bc cd de ac bd ce ad be ae')).toEqual(['a', 'b', 'c', 'd', 'e']);
  // a and c can’t be told apart, though b, which stands between, can from either.
  expect(groups('ab bc ad ae bd be cd ce de')).toEqual(['a', 'b', 'c', 'd', 'e', 'ac']);
});

test('neither names nor the order of arrival move a figure; the verdict alone is the same verdict', () => {
  const panel = panelOf([
    ['abcd bacd', 4],
    ['acbd', 5],
    ['dabc', 2],
  ]);
  const base = analysed(panel, four);
  const renamed = panel.toReversed().map((one) => ({ ...one, listener: `x${one.listener}` as Outcome['listener'] }));
  const again = analysed(renamed, four);
  expect({ ...again, ranking: null }).toEqual({ ...base, ranking: null });
  expect(again.ranking).toEqual(base.ranking);
  const [only] = analyseRanking(panel, four, { verdictOnly: true }).results;
  for (const key of ['verdict', 'p', 'pAdjusted', 'estimate', 'preferred'] as const)
    expect(only?.[key]).toEqual(base[key]);
});
