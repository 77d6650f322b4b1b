import { describe, expect, test } from 'vitest';
import type { Outcome, Truth } from '../../protocols/protocol';
import { ratingModel } from '../../protocols/rating-model';
import { rowsOfPair } from '../../protocols/rating-rows';
import { analyseRatings, type MoreOfRatings } from '../../protocols/ratings-analysis';
import type { ListenerId, PrototypeId, UnitId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { pairedT } from '../../stats/paired-t';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { panel } from './rated';
import { wholeStudy } from './whole-study';

/** How grades of several samples are decided: pairs apart, listeners left out, anchors, blocks, units. */

const [a, b] = ['proto-a', 'proto-b'] as [PrototypeId, PrototypeId];
const planOf = (wish: PlanWish = {}): Plan =>
  aPlan({ method: 'several-stimuli', scales: ['liking'], prototypes: 4, audiences: [['home', 10]], ...wish });
const analysed = (outcomes: readonly Outcome[], plan: Plan, more: MoreOfRatings = {}) =>
  analyseRatings([{ id: 'liking', points: 7 }], outcomes, plan, {}, more);
const played = (plan: Plan, truth: Truth, seed = 'grades') => wholeStudy(plan, [truth], seed);
const people: Truth = { residualSd: 0.7, interactionSd: 0.5, listenerSd: 0.5 };

describe('each pair has a model of its own', () => {
  test('what the others were graded moves nothing that is said of it', () => {
    const plan = planOf({ trials: 2 });
    const outcomes = played(plan, people);
    const pinned = outcomes.map((one) =>
      [a, b].includes(one.prototypes[one.place ?? 0] as PrototypeId) ? one : { ...one, value: 3 },
    );
    const [before, after] = [outcomes, pinned].map((of) => analysed(of, plan).results[0]?.ratings?.scales[0]?.pairs[0]);
    expect(before?.p).toEqual(expect.any(Number));
    expect(after).toEqual({ ...before, pAdjusted: after?.pAdjusted });
    expect(analysed(outcomes, plan).decidedBy).toBe(
      'mixed model of each pair, or listeners’ means where there is none',
    );
  });

  test('its place is which of the two was graded first; the trial is a term where there are several', () => {
    const plan = planOf({ trials: 2 });
    const outcomes = played(plan, people);
    const rows = rowsOfPair(outcomes, 'liking', plan, [a, b]);
    expect(rows).toHaveLength(10 * 2 * 2);
    expect(rows.filter(({ position }) => position === 1)).toHaveLength(20);
    expect(rows.every(({ position }) => position < 3)).toBe(true);
    const { model } = ratingModel(outcomes, 'liking', plan, { pair: [a, b] });
    expect(model?.summary.random.map(({ term }) => term)).toContain('trial');
  });

  test('an object is held against the hidden reference of its own trials', () => {
    const plan = planOf({ prototypes: 3 });
    const trial = (n: number, listener: string, object: string, values: [number, number]): Outcome[] =>
      panel([`a${values[0]} b${values[1]}`]).map((one, place) => ({
        ...one,
        listener: listener as ListenerId,
        trial: `${listener} ${n}` as Outcome['trial'],
        position: n,
        place,
        prototypes: [a, object as PrototypeId],
      }));
    const outcomes = ['x', 'y', 'z'].flatMap((who, i) => [
      ...trial(1, who, 'proto-b', [3, i]),
      ...trial(2, who, 'proto-c', [-3, 1]),
    ]);
    expect(rowsOfPair(outcomes, 'liking', plan, [a, b]).map(({ rating }) => rating)).not.toContain(-3);
    expect(rowsOfPair(outcomes, 'liking', plan, [b, 'proto-c' as PrototypeId])).toHaveLength(6);
  });
});

test('one trial of two samples is the paired t test', () => {
  const plan = planOf({ prototypes: 2 });
  const rows: [number, number][] = [
    [3, 1],
    [-1, -1],
    [0, -1],
    [3, 2],
    [1, -1],
  ];
  const outcomes = rows.flatMap(([one, other], i) =>
    panel([`a${one} b${other}`]).map((outcome, place) => ({
      ...outcome,
      listener: `home-${i}` as ListenerId,
      trial: `t${i}` as Outcome['trial'],
      position: 1,
      place,
      prototypes: [a, b],
    })),
  );
  const expected = pairedT({ first: rows.map(([one]) => one), second: rows.map(([, other]) => other) });
  const [result] = analysed(outcomes, plan).results;
  expect(result?.p).toBeCloseTo(expected.p, 10);
  expect(result?.estimate?.value).toBeCloseTo(expected.difference, 12);
});

describe('listeners who are left out by a rule', () => {
  const plan = planOf({ prototypes: 2, audiences: [['home', 6]] });
  const lines = ['a3 b1', 'a2 b1', 'a3 b0', 'a2 b0', 'a-3 b3', 'a-2 b3'];
  const screening = () => ({
    rule: 'reference-told' as const,
    dropped: [5, 6].map((n) => ({ listener: `home-${n}` as ListenerId, misses: 2, of: 3, p: null })),
  });

  test('count for nothing, and what would have come with them stands beside', () => {
    const [result] = analysed(panel(lines), plan, { screening }).results;
    expect(result?.verdict).toBe('difference-shown');
    expect(result?.n.listeners).toBe(4);
    expect(result?.ratings?.ratings).toBe(8);
    const { screening: told } = result?.ratings ?? {};
    expect(told).toMatchObject({ kept: 4, verdictOfAll: 'undecided' });
    expect(told?.dropped.map(({ listener }) => listener)).toEqual(['home-5', 'home-6']);
    expect(told?.all.difference?.value).toBeCloseTo((2 + 1 + 3 + 2 - 6 - 5) / 6, 12);
    expect(told?.all.pAdjusted).toBe(told?.all.p);
    expect(result?.warnings).toContain('screened-out:2:6');
    expect(result?.warnings.some((key) => key.startsWith('fewer-listeners'))).toBe(false);
  });

  test('nobody: all is as it is', () => {
    const nobody = () => ({ rule: 'reference-told' as const, dropped: [] });
    const [result] = analysed(panel(lines), plan, { screening: nobody }).results;
    expect(result?.ratings?.screening?.all).toEqual(result?.ratings?.scales[0]?.pairs[0]);
    expect(result?.ratings?.screening?.verdictOfAll).toBe(result?.verdict);
    expect(analysed(panel(lines), plan).results[0]?.ratings).not.toHaveProperty('screening');
  });
});

test('an anchor has a mean, and stands in no pair, in no analysis of variance', () => {
  const base = planOf({ prototypes: 3 });
  const plan = {
    ...base,
    prototypes: base.prototypes.map((one, i) => (i === 2 ? { ...one, anchor: { lowPassHz: 3500 as const } } : one)),
  };
  const [scale] =
    analysed(panel(['a3 b1 c-3', 'a2 b1 c-2', 'a3 b0 c-3', 'a2 b1 c-3']), plan).results[0]?.ratings?.scales ?? [];
  expect(scale?.means.map(({ prototype }) => prototype)).toEqual(['proto-a', 'proto-b', 'proto-c']);
  expect(scale?.pairs).toHaveLength(1);
  const [without] =
    analysed(panel(['a3 b1', 'a2 b1', 'a3 b0', 'a2 b1']), planOf({ prototypes: 2 })).results[0]?.ratings?.scales ?? [];
  expect(scale?.blocks).toEqual(without?.blocks);
});

test('incomplete blocks: pairs that few graded both of are told by way of the others, and means are of whoever graded', () => {
  const plan = planOf({ prototypes: 6, size: 2, audiences: [['home', 30]] });
  const outcomes = played(plan, { ...people, ratings: { liking: { 'proto-a': 1.5, 'proto-b': -1.5 } } });
  const analysis = analysed(outcomes, plan);
  const [result] = analysis.results;
  expect(result?.verdict).toBe('difference-shown');
  expect(analysis.decidedBy).toBe('mixed model, or listeners’ means where there is none');
  expect(result?.ratings?.scales[0]?.means).toHaveLength(6);
  expect(result?.warnings).toContain('means-of-some:0:30');
  expect(result?.power).toBeGreaterThan(0);
});

test('incomplete blocks: what would settle is told in listeners who come, not in those who graded both', () => {
  const plan = planOf();
  const both = panel(['a3 b1', 'a1 b2', 'a2 b0', 'a0 b1', 'a3 b2', 'a1 b1']);
  // As many again who graded two others alone: they tell nothing of the pair.
  const others = panel(['c3 d1', 'c1 d2', 'c2 d0', 'c0 d1', 'c3 d2', 'c1 d1']);
  const alone = others.map((one) => ({ ...one, listener: `${one.listener} of others` as ListenerId }));
  const [few] = analysed(both, plan).results;
  const [more] = analysed([...both, ...alone], plan).results;
  expect(few).toMatchObject({ verdict: 'undecided', wouldSettle: { listeners: expect.any(Number) } });
  expect(more?.p).toBe(few?.p);
  expect(more?.wouldSettle?.listeners).toBe(2 * (few?.wouldSettle?.listeners ?? 0));
});

test('units that come out as different leave two degrees of freedom, of two each', () => {
  const plan = planOf({ prototypes: 2, units: 2, sessions: 2 });
  const outcomes = played(plan, people).map((one) => {
    const second = (one.sittingNumber + Number(one.listener.split('-')[1])) % 2;
    const units = one.prototypes.map((id) => `${id.replace('proto', 'unit')}${second + 1}`) as UnitId[];
    // The second unit of a is liked two points more, that of b two points less.
    const apart = second === 0 ? 0 : one.prototypes[one.place ?? 0] === a ? 2 : -2;
    return { ...one, units, value: one.value + apart };
  });
  const difference = (careful: boolean) =>
    ratingModel(outcomes, 'liking', plan, { pair: [a, b], careful }).model?.difference(a, b);
  expect(difference(true)?.degreesOfFreedom).toBe(2);
  expect(difference(false)?.degreesOfFreedom).toBeGreaterThan(2);
  expect(difference(true)?.p).toBeGreaterThan(difference(false)?.p ?? 1);
  const reach = (one: ReturnType<typeof difference>) => (one?.estimate.upper ?? 0) - (one?.estimate.value ?? 0);
  // Student's t with 2 degrees of freedom, 2.5 % above: 4.3027 (table in Fisher & Yates 1963; from memory).
  expect(reach(difference(true))).toBeCloseTo(4.30265 * (difference(true)?.standardError ?? 0), 4);
  const [result] = analysed(outcomes, plan).results;
  expect(result?.ratings?.units?.map(({ unit }) => unit)).toEqual(['unit-a1', 'unit-a2', 'unit-b1', 'unit-b2']);
});

describe('what was planted comes out as it was', () => {
  const plan = planOf({ sessions: 3, prototypes: 3, audiences: [['home', 12]] });
  const ratings = { liking: { 'proto-a': 1, 'proto-b': -0.5 } };

  test('a difference, the right way round, though whatever is graded first is lifted and days drift', () => {
    for (const more of [{}, { positionBias: 1 }, { driftPerSession: -0.5 }]) {
      const [result] = analysed(played(plan, { ...people, ratings, ...more }), plan).results;
      expect(result?.verdict).toBe('difference-shown');
      expect(result?.preferred).toBe('proto-a');
      expect(Math.abs((result?.estimate?.value ?? 0) - 1.5)).toBeLessThan(0.6);
    }
  });

  test('a drift by session is told as one, and none as none', () => {
    const drift = (driftPerSession: number) => {
      const [told] = analysed(played(plan, { ...people, ratings, driftPerSession }), plan).habituation;
      return { word: told?.word, slope: told?.drift.at(-1)?.slope?.value ?? Number.NaN };
    };
    expect(drift(-0.5).word).toBe('drifting');
    expect(Math.abs(drift(-0.5).slope + 0.5)).toBeLessThan(0.2);
    expect(drift(0).word).not.toBe('drifting');
  });

  test('two camps of tastes are warned of', () => {
    const one = planOf({ sessions: 2, prototypes: 2, audiences: [['home', 16]] });
    const camps = played(one, { residualSd: 0.5 }).map((outcome) => {
      const loves = Number(outcome.listener.split('-')[1]) % 2 === 0;
      const about = outcome.prototypes[outcome.place ?? 0] === a;
      return about ? { ...outcome, value: outcome.value + (loves ? 3 : -3) } : outcome;
    });
    expect(analysed(camps, one).results[0]?.warnings).toContain('two-peaks:proto-a:liking');
    expect(analysed(camps, one).results[0]?.warnings).not.toContain('two-peaks:proto-b:liking');
  });
});
