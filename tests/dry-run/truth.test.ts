import { describe, expect, test } from 'vitest';
import { plannedSitting } from '../../protocols/controls';
import type { Outcome } from '../../protocols/protocol';
import { panelOf } from '../../server/dry-run/drawn-panel';
import { playsPanel } from '../../server/dry-run/played-panel';
import { isThere, trueValueOf, trulyFirst } from '../../server/dry-run/true-value';
import { checkTruth, unusedOf, worldOf } from '../../server/dry-run/truth';
import type { UnitId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import type { TruthDocument } from '../../shared/truth';
import { truthSchema } from '../../shared/truth';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { quickRandomness } from '../protocols/whole-study';
import { dryRunHere } from './here';

/** What a TRUTH says becomes what virtual listeners are made of, field by field. */

const abx = aPlan({ method: 'abx', trials: 10, audiences: [['home', 12]] });
const pairs = aPlan({ audiences: [['home', 12]], repeats: 4 });
const impressions = aPlan({
  method: 'first-impressions',
  scales: ['liking'],
  audiences: [['home', 40]],
  sessions: 3,
  units: 2,
});

/** Every outcome of so many panels of one design. */
function played(plan: Plan, truth: TruthDocument, panels = 20): Outcome[] {
  const panel = panelOf(plan, (seat) =>
    plannedSitting(plan, seat, quickRandomness('draw')).map((design) => ({
      design,
      units: design.presentations.map((one) => `${one} ${(seat.ordinal + seat.sitting) % 2}` as UnitId),
    })),
  );
  const units = {
    ...plan,
    prototypes: plan.prototypes.map((one) => ({
      ...one,
      units: [0, 1].map((i) => ({ id: `${one.id} ${i}`, serial: 'none' })),
    })),
  };
  const play = playsPanel(units, worldOf(truth), panel);
  return Array.from({ length: panels }, (_, i) =>
    play(seededRandom(i)).map((one) => ({ ...one, flags: [`${i}`] })),
  ).flat();
}
const mean = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length;
const right = (truth: TruthDocument) => mean(played(abx, truth).map(({ value }) => value));
/** Share of answers that go to the first sample presented. */
const toFirst = (truth: TruthDocument) => mean(played(pairs, truth).map(({ value }) => (value > 0 ? 1 : 0)));
const forA = (truth: TruthDocument, plan = pairs) =>
  mean(
    played(plan, truth).map(({ value, prototypes }) =>
      value === 0 ? 0.5 : value > 0 === (prototypes[0] === 'proto-a') ? 1 : 0,
    ),
  );
const ratedPanels = 12;
const rated = (truth: TruthDocument) => played(impressions, truth, ratedPanels);
const sd = (values: readonly number[]) => Math.sqrt(mean(values.map((one) => (one - mean(values)) ** 2)));
function meansBy(outcomes: readonly Outcome[], key: (one: Outcome) => string): number[] {
  const groups = new Map<string, number[]>();
  for (const one of outcomes) groups.set(key(one), [...(groups.get(key(one)) ?? []), one.value]);
  return [...groups.values()].map(mean);
}

test('every field of the schema is tried here', () => {
  expect(Object.keys(truthSchema.shape).sort()).toEqual(
    [
      'listenersWhoHear',
      'dPrime',
      'heard',
      'worth',
      'ratings',
      'listenerSd',
      'interactionSd',
      'sessionSd',
      'unitSd',
      'residualSd',
      'driftPerExposure',
      'inverted',
      'random',
      'positionBias',
      'dropOut',
      'gamma',
      'noneRate',
    ].sort(),
  );
});

describe('what is missing is zero', () => {
  test.each<[string, TruthDocument]>([
    ['nothing at all', {}],
    ['who hears, and no distance', { listenersWhoHear: 1 }],
    ['a distance, and nobody who hears', { dPrime: 3 }],
    ['a share of trials, and nobody who hears', { heard: 1 }],
  ])('%s: everybody guesses', (_, truth) => {
    expect(right(truth)).toBeGreaterThan(0.47);
    expect(right(truth)).toBeLessThan(0.53);
    expect(isThere(abx, truth)).toBe(false);
  });
});

describe('right answers', () => {
  test.each<[string, TruthDocument, number]>([
    ['listenersWhoHear and heard', { listenersWhoHear: 0.5, heard: 0.6 }, 0.3],
    ['everybody, always', { listenersWhoHear: 1, heard: 1 }, 1],
  ])('%s', (_, truth, heard) => {
    expect(Math.abs(right(truth) - (1 + heard) / 2)).toBeLessThan(0.04);
    expect(trueValueOf(abx, truth, 'heard')).toBeCloseTo(heard, 12);
    expect(isThere(abx, truth)).toBe(true);
  });

  test('dPrime, and it counts before heard', () => {
    const truth = { listenersWhoHear: 1, dPrime: 2, heard: 1 };
    const value = trueValueOf(abx, truth, 'heard') as number;
    // ABX at d′ = 2 by differencing, Φ(√2)·Φ(2/√6) + Φ(−√2)·Φ(−2/√6) with Φ(1.4142) = 0.92135 and Φ(0.8165) = 0.79288:
    // Macmillan & Creelman (2005), Detection Theory, chapter 9 (formula from memory).
    expect((1 + value) / 2).toBeCloseTo(0.92135 * 0.79288 + 0.07865 * 0.20712, 4);
    expect(unusedOf(abx, truth)).toEqual(['heard']);
    expect(Math.abs(right(truth) - (1 + value) / 2)).toBeLessThan(0.03);
  });

  test('dropOut takes whole sittings away', () => {
    const all = played(abx, {}).length;
    const left = played(abx, { dropOut: 0.5 });
    expect(left.length / all).toBeGreaterThan(0.4);
    expect(left.length / all).toBeLessThan(0.6);
    const perSitting = new Map<string, number>();
    for (const { flags, sitting } of left) {
      const key = `${flags[0]} ${sitting}`;
      perSitting.set(key, (perSitting.get(key) ?? 0) + 1);
    }
    expect(new Set(perSitting.values())).toEqual(new Set([10]));
    expect(played(abx, { dropOut: 1 })).toEqual([]);
  });
});

test('after similarity there is something to find below the limit, and not at it', () => {
  const risks = { smallest: { kind: 'heard' as const, value: 0.4 } };
  const plan = aPlan({ method: 'triangle', aim: 'similarity', spec: { trials: 4 }, audiences: [['home', 12]], risks });
  expect(isThere(plan, { listenersWhoHear: 1, heard: 0.39 })).toBe(true);
  expect(isThere(plan, { listenersWhoHear: 1, heard: 0.4 })).toBe(false);
  expect(isThere(plan, {})).toBe(true);
});

describe('preferences', () => {
  test('worth, with gamma that makes listeners differ and leaves the mean', () => {
    const worth = { 'proto-a': 0.5, 'proto-b': -0.5 };
    const share = trueValueOf(pairs, { worth }, 'share') as number;
    expect(share).toBeCloseTo(1 / (1 + Math.exp(-1)), 12);
    for (const gamma of [0, 0.5]) expect(Math.abs(forA({ worth, gamma }) - share)).toBeLessThan(0.06);
    const turned = (truth: TruthDocument) =>
      played(pairs, truth).map((one) => ({ ...one, value: one.prototypes[0] === 'proto-a' ? one.value : -one.value }));
    const spread = (gamma: number) =>
      sd(meansBy(turned({ gamma }), ({ listener, flags }) => `${listener} ${flags[0]}`));
    // Of four answers 1/√4 by chance alone, and 1 where everybody is always of one mind.
    expect(spread(0)).toBeLessThan(0.6);
    expect(spread(1)).toBeGreaterThan(0.95);
    expect(isThere(pairs, { worth })).toBe(true);
    expect(isThere(pairs, { worth: { 'proto-a': 1, 'proto-b': 1 }, gamma: 0.5 })).toBe(false);
  });

  test('positionBias pulls toward what is first, and nobody knows what the share should be then', () => {
    expect(toFirst({ positionBias: 1 })).toBeGreaterThan(0.68);
    expect(toFirst({ positionBias: -1 })).toBeLessThan(0.32);
    expect(trueValueOf(pairs, { positionBias: 1 }, 'share')).toBeNull();
  });

  test('noneRate, split in halves', () => {
    const offering = { ...pairs, noPreference: { offered: true, rule: 'split' as const } };
    const worth = { 'proto-a': 5, 'proto-b': -5 };
    expect(mean(played(offering, { noneRate: 0.4 }).map(({ value }) => (value === 0 ? 1 : 0)))).toBeCloseTo(0.4, 1);
    expect(forA({ noneRate: 0.4, worth }, offering)).toBeCloseTo(
      trueValueOf(offering, { noneRate: 0.4, worth }, 'share') as number,
      1,
    );
  });

  test('one-sided, a preference the other way is none', () => {
    const plan = aPlan({ risks: { sides: 'one-sided' } });
    expect(isThere(plan, { worth: { 'proto-b': 1 } })).toBe(false);
    expect(isThere(plan, { worth: { 'proto-a': 1 } })).toBe(true);
  });
});

describe('yes and no', () => {
  const plan = aPlan({ method: 'same-different', spec: { trials: 8 }, audiences: [['home', 12]] });
  const yes = (truth: TruthDocument, different: boolean) =>
    mean(
      played(plan, truth)
        .filter(({ prototypes }) => (prototypes[0] !== prototypes[1]) === different)
        .map(({ value }) => value),
    );

  test('gamma makes people say yes more or less readily; the distance is known only where it is everybody’s', () => {
    expect(yes({ listenersWhoHear: 1, dPrime: 3 }, true)).toBeGreaterThan(
      yes({ listenersWhoHear: 1, dPrime: 3 }, false) + 0.3,
    );
    const spread = (gamma: number) =>
      sd(meansBy(played(plan, { gamma }), ({ listener, flags }) => `${listener} ${flags[0]}`));
    expect(spread(0.9)).toBeGreaterThan(1.5 * spread(0));
    expect(trueValueOf(plan, { listenersWhoHear: 1, dPrime: 1.5 }, 'd-prime')).toBe(1.5);
    expect(trueValueOf(plan, { listenersWhoHear: 0.5, dPrime: 1.5 }, 'd-prime')).toBeNull();
    expect(trueValueOf(plan, {}, 'd-prime')).toBe(0);
    expect(unusedOf(plan, { gamma: 0.5, positionBias: 1 })).toEqual(['positionBias']);
  });
});

describe('orders', () => {
  const plan = aPlan({
    method: 'ranking',
    prototypes: 4,
    spec: { size: 4, rankings: 2, predicted: false },
    audiences: [['home', 30]],
  });
  const worth = { 'proto-a': 0.6, 'proto-b': -0.6 };

  test('worth, whatever the tastes: the share that the panel puts first before second', () => {
    const share = trueValueOf(plan, { worth }, 'share') as number;
    for (const gamma of [0, 0.4]) {
      const found = dryRunHere({ plan, truth: { worth, gamma }, seed: 1, panels: 12, draws: 4, whole: 12 });
      expect(found.trueValue).toBe(share);
      expect(found.coverage).toBeGreaterThanOrEqual(9 / 12);
    }
    expect(isThere(plan, { worth: { 'proto-c': 1 } })).toBe(true);
    expect(isThere(plan, { gamma: 0.5 })).toBe(false);
    expect(trueValueOf(plan, { worth, interactionSd: 1 }, 'share')).toBeNull();
  });
});

describe('ratings', () => {
  const ratings = { liking: { 'proto-a': 0.5, 'proto-b': -0.5 } };
  const value = (truth: TruthDocument) => trueValueOf(impressions, truth, 'difference') as number;
  const difference = (outcomes: readonly Outcome[]) => {
    const of = (id: string) => mean(outcomes.filter(({ prototypes }) => prototypes[0] === id).map((one) => one.value));
    return of('proto-a') - of('proto-b');
  };

  test('ratings and residualSd: the difference of what is rated, which ends where the scale ends', () => {
    const truth = { ratings, residualSd: 1 };
    expect(value(truth)).toBeCloseTo(1, 2);
    expect(Math.abs(difference(rated(truth)) - value(truth))).toBeLessThan(0.05);
    const beyond = { ratings: { liking: { 'proto-a': 3, 'proto-b': -3 } }, residualSd: 2 };
    expect(value(beyond)).toBeLessThan(5.2);
    expect(Math.abs(difference(rated(beyond)) - value(beyond))).toBeLessThan(0.07);
    expect(trueValueOf(impressions, { ratings: { liking: { 'proto-a': 1.2 } } }, 'difference')).toBe(1);
  });

  test.each<[string, TruthDocument, (one: Outcome) => string]>([
    ['listenerSd', { listenerSd: 1 }, ({ listener }) => listener],
    ['interactionSd', { interactionSd: 1 }, ({ listener, prototypes }) => `${listener} ${prototypes}`],
    ['sessionSd', { sessionSd: 1 }, ({ sitting }) => sitting],
  ])('%s', (_, truth, key) => {
    const spread = sd(meansBy(rated(truth), (one) => `${key(one)} ${one.flags[0]}`));
    expect(spread).toBeGreaterThan(0.9);
    expect(spread).toBeLessThan(1.15);
  });

  test('unitSd: a unit lies off by the same for everybody, in this panel', () => {
    const outcomes = rated({ unitSd: 1 });
    const key = (one: Outcome) => `${one.units} ${one.flags[0]}`;
    const means = meansBy(outcomes, key);
    expect(means).toHaveLength(ratedPanels * 4);
    expect(sd(means)).toBeGreaterThan(0.8);
    const within = new Map<string, Set<number>>();
    for (const one of outcomes) within.set(key(one), (within.get(key(one)) ?? new Set()).add(one.value));
    expect([...within.values()].every(({ size }) => size === 1)).toBe(true);
  });

  test('driftPerExposure adds with every further hearing of a prototype', () => {
    const outcomes = rated({ driftPerExposure: 1 });
    expect(outcomes.every(({ value, exposure }) => value === exposure - 1)).toBe(true);
    expect(trueValueOf(impressions, { driftPerExposure: 1 }, 'difference')).toBeNull();
  });
});

describe('grades', () => {
  const twelve: Pick<PlanWish, 'audiences' | 'units'> = { audiences: [['home', 12]], units: 2 };
  const difference = (outcomes: readonly Outcome[], plan: Plan, scale = plan.primary.scale) => {
    const of = (id: string) =>
      mean(
        outcomes
          .filter((one) => one.scale === scale && one.prototypes[one.place ?? 0] === id)
          .map(({ value }) => value),
      );
    return of('proto-a') - of('proto-b');
  };
  const wide = aPlan({ ...twelve, method: 'reference-and-anchors', prototypes: 3, primary: [0, 1], trials: 2 });
  const five = aPlan({ ...twelve, method: 'absolute-rating', sessions: 3 });
  const words = aPlan({ ...twelve, method: 'check-all', attributes: ['warm', 'dry'], liked: true, rounds: 2 });
  const pair = aPlan({ ...twelve, method: 'comparison-rating', rounds: 2 });

  test.each<[string, Plan, TruthDocument, number]>([
    ['0 to 100, beyond its end', wide, { ratings: { quality: { 'proto-a': 60, 'proto-b': 20 } }, residualSd: 17 }, 1],
    ['1 to 5', five, { ratings: { quality: { 'proto-a': 0.8 } }, residualSd: 0.7, listenerSd: 0.3 }, 0.05],
    [
      'some the wrong way round, some at random',
      five,
      { ratings: { quality: { 'proto-a': 1 } }, inverted: 0.3, random: 0.2 },
      0.1,
    ],
    ['words', words, { ratings: { warm: { 'proto-a': 1, 'proto-b': -0.5 } }, listenerSd: 2, interactionSd: 0.5 }, 0.05],
  ])('%s: what is graded is what is said to be true', (_, plan, truth, within) => {
    const value = trueValueOf(plan, truth, plan === words ? 'ticked' : 'difference') as number;
    expect(Math.abs(difference(played(plan, truth, 40), plan) - value)).toBeLessThan(within);
    expect(isThere(plan, truth)).toBe(true);
    expect(isThere(plan, { ...truth, ratings: {} })).toBe(false);
  });

  test('one against the other: by how much the first is better, in either order', () => {
    const truth = { ratings: { comparison: { 'proto-a': 1.5 } }, residualSd: 1, interactionSd: 0.5, inverted: 0.1 };
    const better = played(pair, truth, 40).map(({ value, prototypes }) =>
      prototypes[1] === 'proto-a' ? value : -value,
    );
    expect(Math.abs(mean(better) - (trueValueOf(pair, truth, 'difference') as number))).toBeLessThan(0.06);
    expect(trulyFirst(pair, truth)).toBe('proto-a');
    expect(unusedOf(pair, { ...truth, driftPerExposure: 1 })).toEqual(['driftPerExposure']);
  });

  test('half of them the wrong way round: nothing is left to find', () => {
    const truth = { ratings: { quality: { 'proto-a': 1 } }, residualSd: 0.5, inverted: 0.5 };
    expect(trueValueOf(five, truth, 'difference')).toBeCloseTo(0, 12);
    expect(isThere(five, truth)).toBe(false);
  });

  test('random: any grade, as often as another, whatever there is to hear', () => {
    const outcomes = played(five, { ratings: { quality: { 'proto-a': 2, 'proto-b': 2 } }, random: 1 }, 40);
    for (const grade of [1, 2, 3, 4, 5]) {
      expect(mean(outcomes.map(({ value }) => (value === grade ? 1 : 0)))).toBeCloseTo(0.2, 1);
    }
  });

  test('unitSd and driftPerExposure reach each sample of a trial, and each by its own hearings', () => {
    const many = aPlan({ ...twelve, method: 'several-stimuli', scales: ['liking'], sessions: 2 });
    const drifted = played(many, { driftPerExposure: 1 }, 2);
    expect(drifted.length).toBeGreaterThan(50);
    expect(drifted.every(({ value, exposure }) => value === Math.min(4, exposure - 1))).toBe(true);
    expect(trueValueOf(many, { driftPerExposure: 1 }, 'difference')).toBeNull();
    const apart = played(many, { unitSd: 2 }, 4);
    const within = new Map<string, Set<number>>();
    for (const one of apart) {
      const key = `${one.units[one.place ?? 0]} ${one.flags[0]}`;
      within.set(key, (within.get(key) ?? new Set()).add(one.value));
    }
    expect([...within.values()].every(({ size }) => size === 1)).toBe(true);
    expect(new Set([...within.values()].flatMap((values) => [...values])).size).toBeGreaterThan(3);
  });

  test('who is left out by what they answered is not worked out, nor what a habit does at the end of a scale', () => {
    const screened = aPlan({ method: 'reference-and-anchors', prototypes: 3, screening: true });
    const truth = { ratings: { quality: { 'proto-a': 30 } } };
    expect(trueValueOf(screened, truth, 'difference')).toBeNull();
    expect(trueValueOf(wide, { ...truth, positionBias: 5 }, 'difference')).toBeNull();
    expect(isThere(screened, truth)).toBe(true);
  });

  test('what they know nothing of is told, and strangers are refused', () => {
    expect(unusedOf(five, { inverted: 0.1, random: 0.1, positionBias: 1 })).toEqual(['positionBias']);
    expect(unusedOf(impressions, { inverted: 0.1, random: 0.1 })).toEqual(['inverted', 'random']);
    expect(checkTruth({ ratings: { warm: { 'proto-a': 1 }, liking: { 'proto-b': 2 } } }, words).problems).toEqual([]);
    expect(checkTruth({ ratings: { quality: { 'proto-a': 80 } } }, wide).problems).toEqual([]);
    expect(checkTruth({ ratings: { cosy: { 'proto-a': 1 } } }, words).problems[0]).toMatchObject({
      code: 'not-in-plan',
      path: 'ratings.cosy',
      allowed: 'liking, warm, dry',
    });
    expect(checkTruth({ inverted: 0.7, random: 0.4 }, five).problems[0]).toMatchObject({
      code: 'out-of-range',
      path: 'random',
      got: '0.4',
    });
  });
});

describe('refused, by the field', () => {
  test.each<[string, unknown, string, string]>([
    ['a field that is none', { dprime: 1 }, 'dprime', 'A truth has no field “dprime”. The nearest is dPrime.'],
    [
      'a share over one',
      { dropOut: 1.5 },
      'dropOut',
      'The share of sittings that don’t take place must be at most 1; 1.5 came.',
    ],
    ['text for a number', { gamma: 'much' }, 'gamma', 'The spread of tastes, γ, must be a number.'],
    [
      'a prototype that isn’t there',
      { worth: { heron: 1 } },
      'worth.heron',
      'This plan compares no prototype “heron”.',
    ],
    ['what is no group of fields', 7, '', 'What was sent must be a group of fields; a number came.'],
  ])('%s', (_, raw, path, message) => {
    const { problems } = checkTruth(raw, pairs);
    expect(problems[0]).toMatchObject({ path, message });
  });

  test('a scale that isn’t there, where something is rated', () => {
    const { problems } = checkTruth({ ratings: { warmth: { 'proto-a': 1 } } }, impressions);
    expect(problems[0]).toMatchObject({ code: 'not-in-plan', path: 'ratings.warmth', allowed: 'liking' });
  });

  test('what the method makes nothing of is not refused but told, unless it is zero', () => {
    const truth = { worth: { 'proto-a': 1 }, gamma: 0, residualSd: 1, positionBias: 1 };
    expect(checkTruth(truth, abx).problems).toEqual([]);
    expect(unusedOf(abx, truth)).toEqual(['residualSd', 'worth']);
  });
});
