import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../protocols/protocol';
import { shuffled } from '../../protocols/random';
import { type ModelDifference, ratingModel, withinByModel } from '../../protocols/rating-model';
import type { PrototypeId, UnitId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { pairedT } from '../../stats/paired-t';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { gradedPanel } from './graded';
import { panel } from './rated';
import { simulatedImpressions } from './simulated-impressions';

const planOf = (wish: PlanWish = {}): Plan => aPlan({ method: 'first-impressions', scales: ['liking'], ...wish });
const [a, b] = ['proto-a', 'proto-b'] as [PrototypeId, PrototypeId];
const modelOf = (outcomes: Outcome[], plan: Plan) => {
  const { model } = ratingModel(outcomes, 'liking', plan);
  if (!model) throw new Error('no model');
  return model;
};
const held = (outcomes: Outcome[], plan: Plan) => {
  const { fixed, random, leftOut } = modelOf(outcomes, plan).summary;
  return {
    terms: [...fixed, ...random.map(({ term }) => term)].join(' '),
    out: leftOut.map(({ term, reason }) => `${term} ${reason}`).join(', '),
  };
};

describe('what a model holds is told by who heard what and when', () => {
  const played = (wish: PlanWish) => {
    const plan = planOf({ audiences: [['home', 8]], prototypes: 3, ...wish });
    return { plan, outcomes: simulatedImpressions(plan, { residualSd: 1, listenerSd: 1 }, seededRandom('held')) };
  };

  test('one sitting', () => {
    const { plan, outcomes } = played({});
    expect(held(outcomes, plan)).toEqual({
      terms: 'listener prototype position',
      out: 'listener-prototype not-repeated, session one-session, unit one-unit-each, excerpt same-for-all, exposure same-for-all',
    });
  });

  test('renders have no units, so none are missing', () => {
    const { plan, outcomes } = played({ playback: 'renders' });
    expect(held(outcomes, plan).out).not.toContain('unit');
  });

  test('a hidden repeat lets tastes be told; that it is heard for the second time goes with its place', () => {
    const { plan, outcomes: once } = played({ hiddenRepeats: 1 });
    const outcomes = once.map((one) => ({ ...one, exposure: one.position > 3 ? 2 : 1 }));
    expect(held(outcomes, plan).terms).toBe('listener prototype position listener-prototype');
    expect(held(outcomes, plan).out).toContain('exposure not-told-apart');
  });

  test('an open reference is heard as often again: how often goes with which sample, and is left out', () => {
    const plan = aPlan({ method: 'reference-and-anchors', prototypes: 3, audiences: [['home', 6]] });
    const random = seededRandom('openly');
    const said = (letter: string, mean: number) => `${letter}${mean + random.below(20)}`;
    const trial = () => shuffled([said('a', 70), said('b', 50), said('c', 45)], random).join(' ');
    // Practice has some of them besides.
    const lines = Array.from({ length: 6 }, () => [trial(), trial(), trial()].join(' / '));
    const outcomes = gradedPanel(lines, { open: 'a' }).map((one, i) => ({
      ...one,
      exposure: one.position * (one.prototypes[one.place ?? 0] === a ? 2 : 1) + (i % 4 === 0 ? 1 : 0),
    }));
    const modelOfPair = (pair: [PrototypeId, PrototypeId]) =>
      ratingModel(outcomes, 'quality', plan, { pair }).model?.summary;
    expect(modelOfPair([a, b])?.leftOut).toContainEqual({ term: 'exposure', reason: 'not-told-apart' });
    expect(modelOfPair([a, b])?.fixed).not.toContain('exposure');
    expect(modelOfPair([b, 'proto-c' as PrototypeId])?.fixed).toContain('exposure');
  });

  test('several sittings, and two units each', () => {
    const { plan, outcomes } = played({ sessions: 3, units: 2 });
    const heard = outcomes.map((one) => {
      const prototype = plan.prototypes.find(({ id }) => id === one.prototypes[0]);
      return { ...one, units: [prototype?.units[one.sittingNumber % 2]?.id as UnitId] };
    });
    expect(held(heard, plan)).toEqual({
      terms: 'listener prototype position exposure listener-prototype session unit',
      out: 'excerpt same-for-all',
    });
  });

  test('excerpts that differ; one that goes with one prototype alone can’t be told from it', () => {
    const { plan, outcomes } = played({ sessions: 2 });
    const mixed = outcomes.map((one, i) => ({ ...one, excerpt: i % 2 ? 'brass' : 'voice' }));
    expect(held(mixed, plan).terms).toContain('excerpt');
    const tied = outcomes.map((one) => ({ ...one, excerpt: one.prototypes[0] === a ? 'brass' : 'voice' }));
    expect(held(tied, plan).out).toContain('excerpt not-told-apart');
  });

  test('with few ratings the conditions of hearing are left out', () => {
    const few = panel(['a2 b0', 'b1 a1', 'a0 b1', 'b2 a2']);
    expect(held(few, planOf()).out).toContain('position too-few-ratings');
  });
});

describe('no model', () => {
  test.each([
    ['nobody', [], 'too-few'],
    ['one listener', ['a2 b0 | a1 b1'], 'too-few'],
    ['nobody rated two', ['a2', 'b1', 'a0', 'b2'], 'too-few'],
    ['told exactly by listener and prototype', ['a2 b1', 'a1 b0', 'a3 b2'], 'told-exactly'],
  ] as const)('%s', (_, lines, reason) => {
    expect(ratingModel(panel(lines), 'liking', planOf())).toEqual({ model: null, reason });
  });

  test('a prototype that nobody rated has no difference', () => {
    const model = modelOf(panel(['a2 b0', 'a1 b1', 'a3 b0']), planOf({ prototypes: 3 }));
    expect(model.difference(a, 'proto-c' as PrototypeId)).toBeNull();
    expect(model.difference(a, b)?.estimate.value).toBeCloseTo(5 / 3, 12);
    expect(model.difference(b, a)?.estimate.value).toBeCloseTo(-5 / 3, 12);
  });
});

test('ratings of one sitting are the paired t test, whatever listeners’ own levels', () => {
  const lines = ['a3 b1', 'a-1 b-1', 'a0 b-1', 'a3 b2', 'a1 b-1'];
  const first = [3, -1, 0, 3, 1];
  const second = [1, -1, -1, 2, -1];
  const t = pairedT({ first, second });
  const got = modelOf(panel(lines), planOf()).difference(a, b);
  expect(got?.estimate.value).toBeCloseTo(t.difference, 12);
  expect(got?.estimate.lower).toBeCloseTo(t.lower, 10);
  expect(got?.degreesOfFreedom).toBeCloseTo(4, 10);
  expect(got?.p).toBeCloseTo(t.p, 10);
});

test('what is rated higher only because it came first is not taken for better', () => {
  // Two points for whatever comes first; a came first with seven of eight. In truth a and b are alike.
  const lines = Array.from({ length: 16 }, (_, i) => {
    const chance = [0, 1, -1, 0][i % 4] ?? 0;
    return i % 8 === 7 ? `b${2 + chance} a0` : `a${2 + chance} b0`;
  });
  const outcomes = panel(lines);
  const got = modelOf(outcomes, planOf()).difference(a, b);
  expect(Math.abs(got?.estimate.value ?? 9)).toBeLessThan(0.6);
  const own = (letter: PrototypeId) => outcomes.filter(({ prototypes }) => prototypes[0] === letter);
  const mean = (letter: PrototypeId) => own(letter).reduce((sum, { value }) => sum + value, 0) / 16;
  expect(mean(a) - mean(b)).toBeGreaterThan(1.2);
});

test('two units that differ count against what is said of the prototype', () => {
  const plan = planOf({ units: 2, sessions: 2, audiences: [['home', 10]] });
  const outcomes = simulatedImpressions(plan, { residualSd: 0.5, listenerSd: 1 }, seededRandom('units'));
  const by = (apart: number) =>
    outcomes.map((one) => {
      const prototype = plan.prototypes.find(({ id }) => id === one.prototypes[0]);
      const turn = one.prototypes[0] === a ? 0 : 1;
      const unit = (one.sittingNumber + Number(one.listener.split('-')[1]) + turn) % 2;
      return { ...one, units: [prototype?.units[unit]?.id as UnitId], value: one.value + (unit ? apart : -apart) };
    });
  const [alike, different] = [by(0), by(2)].map((of) => modelOf(of, plan).difference(a, b)) as ModelDifference[];
  expect(different?.standardError).toBeGreaterThan(3 * (alike?.standardError ?? 9));
  expect(different?.degreesOfFreedom).toBeLessThan(4);
  const unit = modelOf(by(2), plan).summary.random.find(({ term }) => term === 'unit');
  expect(unit?.standardDeviation).toBeGreaterThan(1.5);
});

test('closeness is shown by two one-sided tests, at the model’s degrees of freedom', () => {
  const difference: ModelDifference = {
    estimate: { name: 'difference', value: 0.2, lower: 0, upper: 0, level: 0.95 },
    standardError: 0.3,
    degreesOfFreedom: 3,
    p: 0.5,
  };
  // Student's t with 3 degrees of freedom, 5 % above: 2.3534 (table in Fisher & Yates 1963; from memory).
  expect(withinByModel(0.2 + 2.354 * 0.3, difference, 0.05)).toBe(true);
  expect(withinByModel(0.2 + 2.353 * 0.3, difference, 0.05)).toBe(false);
});
