import { describe, expect, test } from 'vitest';
import { overTime } from '../../protocols/over-time';
import type { Outcome } from '../../protocols/protocol';
import { leastSquares } from '../../protocols/sitting-slope';
import type { ListenerId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { wordsOver } from './answers-over-time';
import { panel, rated } from './rated';
import { matched } from './simulated-study';

const impressions = aPlan({ method: 'first-impressions', scales: ['liking'], sessions: 3, audiences: [['home', 4]] });
const only = (outcomes: readonly Outcome[], plan: Plan = impressions) => {
  const [found, ...more] = overTime(outcomes, plan);
  if (!found || more.length > 0) throw new Error('not one audience');
  return found;
};

describe('first contact and repeats', () => {
  test('each later sitting weighs the same, and each listener', () => {
    // Differences a − b: 1, 3, 2 · 0, −1 · 2, 2, 2 · one sitting only.
    const { again, sittings } = only(
      panel(['a2 b1 | a3 b0 | a2 b0', 'a1 b1 | a0 b1', 'a2 b0 | a2 b0 | a3 b1', 'a3 b0']),
    );
    expect(again?.listeners).toBe(3);
    expect(again?.first).toMatchObject({ value: 1, listeners: 3 });
    expect(again?.later.value).toBeCloseTo((2.5 - 1 + 2) / 3, 12);
    expect(again?.change.estimate?.value).toBeCloseTo((1.5 - 1 + 0) / 3, 12);
    expect(sittings.map(({ sitting, value, listeners }) => [sitting, value, listeners])).toEqual([
      [1, 1.5, 4],
      [2, 4 / 3, 3],
      [3, 2, 2],
    ]);
  });

  test('who was missing at first begins with the first sitting that he or she was in', () => {
    const { ways } = only(panel(['| a2 b1 | a3 b0', 'a0 b0']));
    expect(ways.map(({ first, later, side }) => [first, later, side])).toEqual([
      [1, 3, 'stayed'],
      [null, null, null],
    ]);
  });

  test('who changed sides, by the sign of the own figure; on the line there is no side', () => {
    const { ways, again } = only(
      panel(['a1 b0 | a0 b1 | a0 b2', 'a0 b1 | a3 b1', 'a1 b0 | a1 b0', 'a1 b1 | a2 b0', 'a1 b0 | a1 b2 | a2 b1']),
      { ...impressions, audiences: [{ ...(impressions.audiences[0] as Plan['audiences'][number]), listeners: 5 }] },
    );
    expect(ways.map(({ side }) => side)).toEqual(['changed', 'changed', 'stayed', 'none', 'none']);
    expect(again?.sides).toEqual({ stayed: 1, changed: 2, none: 2, toFirst: 1, toSecond: 1 });
  });

  test('right answers have their side by guessing', () => {
    const plan = aPlan({ method: 'triangle', sessions: 2, audiences: [['home', 2]] });
    // A third right is what guessing gives.
    const { ways } = only([...matched('L1', '+-- +++'), ...matched('L2', '--- ++-')], plan);
    expect(ways.map(({ side }) => side)).toEqual(['none', 'changed']);
  });

  test('limits of a share reach no further than shares can', () => {
    const plan = aPlan({ method: 'abx', sessions: 2, audiences: [['home', 3]] });
    const { sittings, again } = only([...matched('L1', '+ -'), ...matched('L2', '- +'), ...matched('L3', '+ +')], plan);
    expect(sittings.map(({ lower, upper }) => [lower, upper])).toEqual([
      [0, 1],
      [0, 1],
    ]);
    expect(again?.change.estimate).toMatchObject({ lower: -1, upper: 1 });
  });

  test('nobody sat twice: nothing to tell', () => {
    expect(only(panel(['a1 b0', 'a2 b1'])).again).toBeNull();
  });

  test('all alike: no spread, so neither an interval nor a word', () => {
    const { again } = only(panel(['a1 b0 | a1 b0', 'a1 b0 | a1 b0', 'a1 b0 | a1 b0']));
    expect(again).toMatchObject({ word: 'unknown', change: { estimate: null, p: null }, slope: { estimate: null } });
    expect(again?.first).toMatchObject({ value: 1, lower: null, upper: null });
  });
});

describe('the slope on how often samples had been heard', () => {
  test('least squares on log2 of the hearings, by hand', () => {
    // Doublings 0, 1, 2 and figures 1, 3, 2: slope ½.
    const figures = [1, 2, 4].map((heard, i) => ({ heard, value: [1, 3, 2][i] ?? 0 }));
    expect(leastSquares(figures)).toBeCloseTo(0.5, 12);
    expect(leastSquares([...figures].reverse())).toBeCloseTo(0.5, 12);
  });

  test('none where hearings hardly grew, or at all: 10 after 8 are a third of a doubling', () => {
    expect(leastSquares([8, 10].map((heard) => ({ heard, value: heard })))).toBeNull();
    expect(leastSquares([{ heard: 4, value: 1 }])).toBeNull();
    // 1.42 times as often is just more than half a doubling; never heard counts as once.
    expect(leastSquares([100, 142].map((heard) => ({ heard, value: heard })))).not.toBeNull();
    expect(leastSquares([0, 1].map((heard) => ({ heard, value: heard })))).toBeNull();
  });

  test('each prototype has its own, corrected over prototypes', () => {
    // a gains 1 at each doubling, or nearly; b stays.
    const found = only(panel(['a0 b1 | a1 b1', 'a0 b0 | a1 b1', 'a1 b2 | a2 b1', 'a0 b0 | a2 b0']));
    const [a, b] = found.prototypes;
    expect(a?.slope?.value).toBeCloseTo(1.25, 12);
    expect(b?.slope?.value).toBeCloseTo(0, 12);
    expect(a?.pAdjusted).toBeCloseTo(2 * (a?.p ?? 1), 12);
    expect(a?.rows.map(({ means }) => means)).toEqual([
      [0, 1],
      [0, 1],
      [1, 2],
      [0, 2],
    ]);
  });

  test('words ticked and comparisons have no ratings of single prototypes', () => {
    const ticks = aPlan({ method: 'check-all', prototypes: 2, sessions: 2, audiences: [['home', 2]] });
    expect(only(rated('L1', 'a1 b0 | a0 b0', 'home', ticks.primary.scale), ticks).prototypes).toEqual([]);
  });
});

test('stable over all planned doublings, not over one of them', () => {
  // Half gain a point in one doubling, half lose one. Of 8: limits ± t(0.95; 7)·√(8/7)/√8 = 1.895·0.378 = 0.716; of 16:
  // 1.753·0.258 = 0.453 (Fisher & Yates 1963; from memory). The margin of 1 point over log2 of 3 sittings is 0.631.
  const half = ['a0 b0 | a1 b0', 'a1 b0 | a0 b0'];
  const words = [4, 8].map((many) => only(panel(Array.from({ length: many }, () => half).flat())).again?.word);
  expect(impressions.risks.smallest).toEqual({ kind: 'points', value: 1 });
  expect(words).toEqual(['unknown', 'stable']);
});

test('names and order of arrival move no digit', () => {
  const outcomes = panel(['a2 b1 | a3 b0 | a2 b0', 'a1 b1 | a0 b1', 'a2 b0 | a2 b0 | a3 b1', 'a0 b1 | a2 b2']);
  const renamed = outcomes
    .map((one) => ({ ...one, listener: `L${9 - Number(one.listener.slice(-1))}` as ListenerId }))
    .reverse();
  const figures = ({ again, sittings, prototypes, dayToDay }: ReturnType<typeof only>) => ({
    ...{ again, sittings, dayToDay },
    slopes: prototypes.map(({ slope, p }) => [slope, p]),
  });
  expect(figures(only(renamed))).toEqual(figures(only(outcomes)));
});

test('two audiences are corrected for each other, changes and slopes apart', () => {
  const plan = aPlan({
    method: 'first-impressions',
    scales: ['liking'],
    sessions: 2,
    audiences: [
      ['home', 4],
      ['stage', 4],
    ],
  });
  const found = overTime(
    [
      ...panel(['a0 b0 | a1 b0', 'a0 b0 | a2 b0', 'a0 b0 | a1 b0', 'a1 b0 | a3 b0']),
      ...panel(['a0 b0 | a1 b0', 'a0 b0 | a0 b1', 'a0 b0 | a1 b0', 'a1 b0 | a0 b0'], 'stage'),
    ],
    plan,
  );
  for (const of of ['change', 'slope'] as const) {
    const [home, stage] = found.map(({ again }) => again?.[of]);
    expect(home?.pAdjusted).toBeCloseTo(2 * (home?.p ?? 1), 12);
    expect(stage?.pAdjusted).toBe(stage?.p);
  }
});

describe('how often it errs, of seeded panels (1,000 each: `node tests/bench/bench.mjs over-time`)', () => {
  const plan = aPlan({ method: 'abx', trials: 8, sessions: 3, audiences: [['home', 12]], handling: 'day-code' });
  const panels = 60;
  const run = (moves: number, begin: number) =>
    wordsOver(plan, { begin, moves, listenerSd: 0.05 }, panels, seededRandom(`over time ${moves}`));

  test('nothing moves: seldom “drifting”, and the change’s interval has it', () => {
    const { drifting, covered, told } = run(0, 0.65);
    // 5 % of 60 and four standard deviations.
    expect(drifting).toBeLessThanOrEqual(9);
    expect(covered / told).toBeGreaterThan(0.83);
  });

  test('it moves by the margin: seldom “stable”; twice as far: found', () => {
    expect(run(0.25, 0.5).stable).toBeLessThanOrEqual(9);
    expect(run(0.5, 0.45).drifting).toBeGreaterThan(0.9 * panels);
  });
});
