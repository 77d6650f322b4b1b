import { describe, expect, test } from 'vitest';
import type { FirstImpressionsSpec } from '../../protocols/first-impressions';
import { habituationOf } from '../../protocols/habituation';
import type { Outcome } from '../../protocols/protocol';
import type { Habituation } from '../../protocols/results';
import type { Plan } from '../../shared/plan';
import { equivalence } from '../../stats/equivalence';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { panel, rated } from './rated';

const habituation = (outcomes: readonly Outcome[], plan: Plan) =>
  habituationOf((plan.method.spec as FirstImpressionsSpec).scales, outcomes, plan);

const planOf = (wish: PlanWish = {}) =>
  aPlan({ method: 'first-impressions', scales: ['liking'], sessions: 3, ...wish });
const only = (outcomes: Outcome[], plan: Plan = planOf()): Habituation => {
  const [found, ...more] = habituation(outcomes, plan);
  if (!found || more.length > 0) throw new Error('not one');
  return found;
};
const together = <T extends { prototype: string | null }>(entries: readonly T[]): T => {
  const found = entries.find(({ prototype }) => prototype === null);
  if (!found) throw new Error('nothing on all of them');
  return found;
};

describe('first sitting against later ones', () => {
  test('each later sitting weighs the same, and each listener; by prototype and together', () => {
    // a: later 3 and 1 less first 1 makes 1; b: 0 and 0 less 2 makes −2. The second listener: a 0, b 2. Third: 1, 1.
    const { firstAgainstLater } = only(panel(['a1 b2 | a3 b0 a3 | a1 b0', 'a1 b1 | a1 b3', 'a0 b0 | a1 b1']));
    expect(firstAgainstLater.map(({ prototype, listeners }) => [prototype, listeners])).toEqual([
      ['proto-a', 3],
      ['proto-b', 3],
      [null, 3],
    ]);
    const values = firstAgainstLater.map(({ difference }) => difference?.value);
    expect(values[0]).toBeCloseTo((1 + 0 + 1) / 3, 14);
    expect(values[1]).toBeCloseTo((-2 + 2 + 1) / 3, 14);
    expect(values[2]).toBeCloseTo((-0.5 + 1 + 1) / 3, 14);
    // −0.5, 1, 1: standard deviation √¾; t with 2 degrees of freedom is 4.30265 (Fisher & Yates 1963; from memory).
    const { difference } = together(firstAgainstLater);
    expect(difference).toMatchObject({ name: 'first-against-later', level: 0.95 });
    expect((difference?.upper ?? 0) - (difference?.value ?? 0)).toBeCloseTo(4.30265 * Math.sqrt(0.75 / 3), 4);
  });

  test('only what was rated both then and later counts, so that another prototype’s level is no change', () => {
    const { firstAgainstLater } = only(panel(['a3 | a3 b-3', 'b-3 | a3 b-2', 'a2 | a2 b-3']));
    expect(firstAgainstLater.map(({ listeners }) => listeners)).toEqual([2, 1, 3]);
    expect(together(firstAgainstLater).difference?.value).toBeCloseTo(1 / 3, 14);
  });

  test('who was missing at first begins with the first sitting that he or she was in', () => {
    const { firstAgainstLater } = only(panel(['| a1 | a3', 'a0 | a1', 'a0 | a0']));
    expect(together(firstAgainstLater).difference?.value).toBeCloseTo(1, 14);
  });

  test('one listener, or all alike: no interval, so no figure', () => {
    expect(together(only(rated('L1', 'a1 | a3')).firstAgainstLater)).toEqual({
      prototype: null,
      difference: null,
      listeners: 1,
    });
    expect(together(only(panel(['a1 | a3', 'a0 | a2'])).firstAgainstLater).difference).toBeNull();
  });
});

describe('drift', () => {
  test('least squares over own sittings, by prototype and together, by hand', () => {
    // Slopes of a: 1, ½ (two steps), 0, 2; of b: 0 with the first, 1 with the last.
    const { drift } = only(panel(['a0 b1 | a1 b1 | a2 b1', 'a1 | | a2', 'a1 | a1', 'a-1 b0 | a1 b1']));
    expect(drift.map(({ prototype, listeners }) => [prototype, listeners])).toEqual([
      ['proto-a', 4],
      ['proto-b', 2],
      [null, 4],
    ]);
    expect(drift[0]?.slope?.value).toBeCloseTo(3.5 / 4, 14);
    expect(drift[1]?.slope?.value).toBeCloseTo(1 / 2, 14);
    expect(drift[2]?.slope?.value).toBeCloseTo((0.5 + 0.5 + 0 + 1.5) / 4, 14);
    expect(drift[2]?.slope).toMatchObject({ name: 'slope', level: 0.95 });
    // Two listeners have an interval, and no test.
    expect(drift.map(({ p }) => p === null)).toEqual([false, true, false]);
  });

  test('four equally spaced sittings: (3·(y₄ − y₁) + (y₃ − y₂))/10', () => {
    const { drift } = only(
      panel(['a0 | a2 | a1 | a3', 'a2 | a0 | a1 | a1', 'a1 | a1 | a1 | a2']),
      planOf({ sessions: 4 }),
    );
    expect(drift[0]?.slope?.value).toBeCloseTo(((9 - 1) / 10 + (-3 + 1) / 10 + 3 / 10) / 3, 14);
  });

  test('with nothing missing it is the slope of the means over prototypes', () => {
    const { drift } = only(panel(['a0 b3 | a2 b1 | a2 b3', 'a1 b0 | a0 b0 | a3 b1', 'a1 b1 | a2 b2 | a2 b1']));
    // Means 1.5 1.5 2.5, 0.5 0 2, 1 2 1.5: half of last less first.
    expect(together(drift).slope?.value).toBeCloseTo((0.5 + 0.75 + 0.25) / 3, 14);
  });

  test('a prototype that is missing from some sittings makes none', () => {
    const { drift } = only(panel(['a3 | a3 b-3 | a3 b-3', 'b-3 | a2 b-3 | a2', 'a3 b-2 | b-2 | a3']));
    // Each is steady, but what is heard together changes from high to low: all slopes are 0, so all alike.
    expect(together(drift)).toEqual({ prototype: null, slope: null, p: null, listeners: 3 });
  });

  test('flat but for rounding is flat: fifths leave digits, and those are no spread to test against', () => {
    const flat = [
      'a-3 | a-3 | a3 | a-3 | a-3',
      'a-3 | a-2 | a1 | a-2 | a-3',
      'a-3 | a-1 | a2 | a-1 | a-3',
      'a1 | a1 | a1 | a1 | a1',
    ];
    const found = only(panel(flat), planOf({ sessions: 5 }));
    expect(together(found.drift)).toEqual({ prototype: null, slope: null, p: null, listeners: 4 });
  });

  test('two listeners, or all alike: no test and no word', () => {
    expect(only(panel(['a0 | a1', 'a0 | a2']))).toMatchObject({ pAdjusted: null, word: 'unknown' });
    expect(only(panel(['a0 | a1', 'a0 | a1', 'a1 | a2']))).toMatchObject({ pAdjusted: null, word: 'unknown' });
  });
});

describe('the word', () => {
  const steep = ['a-3 | a-1 | a1', 'a-2 | a0 | a3', 'a-3 | a0 | a2', 'a-1 | a0 | a3'];
  const level = ['a0 | a1 | a0', 'a1 | a1 | a2', 'a1 | a0 | a0', 'a2 | a2 | a2', 'a1 | a1 | a1', 'a0 | a0 | a0'];
  /** Slopes of `level`, and nothing to compare them with. */
  const slopes = { first: [0, 0.5, -0.5, 0, 0, 0], second: [0, 0, 0, 0, 0, 0], margin: 1 };
  const at = (points: number, wish: PlanWish = {}) =>
    only(panel(level), planOf({ risks: { smallest: { kind: 'points', value: points } }, ...wish })).word;

  test('drifting', () => {
    const found = only(panel(steep));
    expect(found).toMatchObject({ word: 'drifting', audience: 'home', scale: 'liking' });
    expect(found.pAdjusted).toBe(together(found.drift).p);
    const p = found.pAdjusted as number;
    expect(only(panel(steep), planOf({ risks: { alpha: p } })).word).toBe('drifting');
    expect(only(panel(steep), planOf({ risks: { alpha: p - 1e-9 } })).word).toBe('unknown');
  });

  test('stable only where the slope over all planned sessions is shown to lie within the smallest difference', () => {
    const { upper } = equivalence({ ...slopes, alpha: 0.05 });
    expect(upper).toBeGreaterThan(0);
    // Three sessions are two steps.
    expect(at(2 * upper + 1e-9)).toBe('stable');
    expect(at(2 * upper - 1e-9)).toBe('unknown');
    // Six planned sessions are five steps, though three were held.
    expect(at(2 * upper + 1e-9, { sessions: 6 })).toBe('unknown');
    expect(at(5 * upper + 1e-9, { sessions: 6 })).toBe('stable');
  });

  test('a second audience makes both harder', () => {
    const audiences: [string, number][] = [
      ['home', 6],
      ['stage', 6],
    ];
    const { upper } = equivalence({ ...slopes, alpha: 0.025 });
    expect(at(2 * upper + 1e-9, { audiences })).toBe('stable');
    expect(at(2 * upper - 1e-9, { audiences })).toBe('unknown');
    const [home, stage] = habituation([...panel(steep), ...panel(level, 'stage')], planOf({ audiences }));
    expect(home?.pAdjusted).toBeCloseTo(2 * (together(home?.drift ?? []).p ?? 0), 14);
    expect(stage?.pAdjusted).toBe(together(stage?.drift ?? []).p);
  });

  test('the other scales are a family of their own, over scales and audiences', () => {
    const plan = planOf({
      scales: ['liking', 'bass', 'warmth'],
      audiences: [
        ['home', 6],
        ['stage', 6],
      ],
    });
    const of = (scale: string) => [...panel(steep, 'home', scale), ...panel(level, 'stage', scale)];
    const found = habituation([...of('liking'), ...of('bass'), ...of('warmth')], plan);
    expect(found.map(({ audience, scale }) => `${audience} ${scale}`)).toEqual([
      'home liking',
      'home bass',
      'home warmth',
      'stage liking',
      'stage bass',
      'stage warmth',
    ]);
    const p = together(found[0]?.drift ?? []).p as number;
    expect(found[0]?.pAdjusted).toBeCloseTo(2 * p, 14);
    expect([found[1]?.pAdjusted, found[2]?.pAdjusted]).toEqual([4 * p, 4 * p]);
  });
});

describe('repeatability', () => {
  test('across days: the ratings of Shrout & Fleiss 1979 (table 2), six targets by four judges, give 0.29 (table 4, case 2, single)', () => {
    const table = [
      'a9 | a2 | a5 | a8',
      'a6 | a1 | a3 | a2',
      'a8 | a4 | a6 | a8',
      'a7 | a1 | a2 | a6',
      'a10 | a5 | a6 | a9',
      'a6 | a2 | a4 | a7',
    ];
    const { withinDay, acrossDays } = only(panel(table), planOf({ sessions: 4 })).repeatability;
    expect(withinDay).toBeNull();
    expect(acrossDays?.icc).toMatchObject({ name: 'icc', level: 0.95 });
    expect(acrossDays?.icc?.value).toBeCloseTo(0.29, 2);
    // Limits are of the second sitting less the first: −7 −5 −4 −6 −5 −4, mean −31/6.
    expect(acrossDays?.pairs).toBe(6);
    expect(acrossDays?.bias).toBeCloseTo(-31 / 6, 13);
    const sd = Math.sqrt((167 - 31 ** 2 / 6) / 5);
    expect(acrossDays?.upper).toBeCloseTo(-31 / 6 + 1.959964 * sd, 5);
    expect(acrossDays?.lower).toBeCloseTo(-31 / 6 - 1.959964 * sd, 5);
  });

  test('within a day: the second rating less the first, in every sitting that had both', () => {
    const { withinDay, acrossDays } = only(panel(['a1 b2 a3 | b0 a1 b1', 'a0 b1 b1', 'a2 b0 a1'])).repeatability;
    // 2 1 0 −1.
    expect(withinDay?.pairs).toBe(4);
    expect(withinDay?.bias).toBeCloseTo(1 / 2, 14);
    expect(withinDay?.upper).toBeCloseTo(1 / 2 + 1.959964 * Math.sqrt(5 / 3), 5);
    expect(withinDay?.icc?.value).toBeDefined();
    // First ratings only: a from 1 to 1, b from 2 to 0.
    expect(acrossDays).toMatchObject({ pairs: 2, bias: -1 });
  });

  test('one session with hidden repeats: that, and nothing about time', () => {
    const found = only(panel(['a1 b2 a2', 'a0 b1 b0', 'a2 b2 a2']), planOf({ sessions: 1 }));
    expect(found.repeatability.withinDay?.pairs).toBe(3);
    expect(found.repeatability.acrossDays).toBeNull();
    expect(found).toMatchObject({ pAdjusted: null, word: 'unknown' });
    expect(found.firstAgainstLater.every(({ difference, listeners }) => difference === null && listeners === 0)).toBe(
      true,
    );
    expect(found.drift.every(({ slope, p, listeners }) => slope === null && p === null && listeners === 0)).toBe(true);
  });

  test('the correlation takes as many sittings as give the largest table without gaps', () => {
    const short = ['a1 | a2', 'a3 | a3', 'a0 | a1', 'a2 | a0', 'a2 | a3'];
    const icc = (lines: string[]) => only(panel(lines)).repeatability.acrossDays?.icc?.value;
    // Five by two is more than two by three: the third sittings are left out.
    expect(icc([...short.slice(0, 3), 'a2 | a0 | a3', 'a2 | a3 | a0'])).toBeCloseTo(icc(short) ?? 9, 14);
    // Four by three is more than five by two: whoever came twice is left out.
    const long = ['a1 | a2 | a1', 'a3 | a3 | a2', 'a0 | a1 | a1', 'a2 | a0 | a2'];
    expect(icc([...long, 'a2 | a3'])).toBeCloseTo(icc(long) ?? 9, 14);
  });

  test('nothing that varies: limits, and no correlation', () => {
    expect(only(panel(['a1 | a1', 'a1 | a1'])).repeatability.acrossDays).toEqual({
      pairs: 2,
      icc: null,
      bias: 0,
      lower: 0,
      upper: 0,
    });
    // Everybody repeats exactly: no residual to set the correlation against.
    expect(only(panel(['a1 | a1', 'a2 | a2', 'a3 | a3'])).repeatability.acrossDays?.icc).toBeNull();
  });

  test('a single pair says nothing', () => {
    expect(only(rated('L1', 'a1 | a2')).repeatability.acrossDays).toBeNull();
  });
});

test('nothing rated twice: no entry, and none for an audience or a scale without', () => {
  expect(habituation([], planOf())).toEqual([]);
  expect(habituation(panel(['a1 b2', 'a2 b1']), planOf())).toEqual([]);
  const plan = planOf({
    scales: ['liking', 'bass'],
    audiences: [
      ['home', 2],
      ['stage', 2],
    ],
  });
  const mixed = [...panel(['a1 b2', 'a2 b1']), ...panel(['a1 | a2'], 'stage', 'bass')];
  expect(habituation(mixed, plan).map(({ audience, scale }) => [audience, scale])).toEqual([['stage', 'bass']]);
});
