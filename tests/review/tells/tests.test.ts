import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../../protocols/protocol';
import { tellTests } from '../../../server/review/tells/tests';
import type { TellTest } from '../../../shared/findings-tells';
import { aPlan } from '../../blinding/a-plan';
import { handled, type Planted, type SeenStudy, seenStudy } from './seen-study';

const pairs = aPlan({ prototypes: 3, units: 2, repeats: 2, audiences: [['home', 12]] });
const abx = aPlan({ method: 'abx', units: 2, sessions: 2, trials: 6, audiences: [['home', 12]] });
const rated = aPlan({
  method: 'first-impressions',
  prototypes: 3,
  units: 2,
  sessions: 3,
  hiddenRepeats: 1,
  audiences: [['home', 12]],
});
const worth = { 'proto-a': 1.2, 'proto-b': 0, 'proto-c': -0.4 };
const studies = {
  pairs: seenStudy(pairs, { seed: 3, worth }),
  abx: seenStudy(abx, { seed: 4, truth: { listenersWhoHear: 0.5, heard: 0.7 } }),
  rated: seenStudy(rated, { seed: 5, truth: { ratings: { liking: { 'proto-a': 2 } } } }),
};

const looked = (study: SeenStudy, planted: Planted, outcomes: readonly Outcome[] = study.outcomes): TellTest[] =>
  tellTests(study.story, handled(study.told, planted), answeredAs(study.told, outcomes), outcomes);

/** The trials with such answers as have those values, of two samples or of an ABX. */
function answeredAs(told: SeenStudy['told'], outcomes: readonly Outcome[]): SeenStudy['told'] {
  const values = new Map<string, Outcome>(outcomes.map((one) => [one.trial, one]));
  return told.map((one) => {
    const outcome = values.get(one.trial.id);
    if (!outcome || outcome.scale !== null) return one;
    const [first, , third] = outcome.prototypes;
    const named = third ? ((third === first) === (outcome.value === 1) ? 0 : 1) : outcome.value > 0 ? 0 : 1;
    return { ...one, trial: { ...one.trial, answer: one.trial.codes[named] ?? null } };
  });
}
const found = (tests: TellTest[], of: TellTest['of'], by: TellTest['by']): TellTest => {
  const one = tests.find((test) => test.of === of && test.by === by);
  if (!one) throw new Error(`${of} by ${by} was not looked at.`);
  return one;
};
const signs = (tests: readonly TellTest[]): string[] =>
  tests.filter(({ p, couldFind }) => couldFind && p !== null && p < 0.01).map(({ of, by }) => `${of} by ${by}`);

describe.each(Object.entries(studies))('%s', (_name, study) => {
  test('hand-overs of one prototype that take five seconds longer are found, and nothing else', () => {
    const tests = looked(study, { seed: 1, wait: { 'proto-b': 5 } });
    expect(signs(tests)).toEqual(['hand-over-time by prototype']);
    const { detail } = found(tests, 'hand-over-time', 'prototype');
    const slowest = detail.reduce((most, one) => (one.value > most.value ? one : most));
    expect(slowest.group).toBe('proto-b');
  });

  test('one that takes longer to fit, and one that seals badly', () => {
    expect(signs(looked(study, { seed: 2, fit: { 'proto-a': 4 } }))).toEqual(['fitting-time by prototype']);
    expect(signs(looked(study, { seed: 5, retry: { 'proto-a': 0.7 } }))).toEqual(['seal-retries by prototype']);
  });
});

test('planted habits of answering are found', () => {
  const { pairs, abx, rated } = studies;
  const first = seenStudy(pairs.story.plan, { seed: 3, worth, truth: { positionBias: 2.5 } });
  expect(signs(looked(first, { seed: 1 }))).toEqual(['answers by position']);
  expect(found(looked(first, { seed: 1 }), 'answers', 'position').statistic).toBeGreaterThan(0.6);

  const codesIn = ({ told }: SeenStudy) =>
    new Map<string, readonly string[]>(told.map(({ trial }) => [trial.id, trial.codes]));
  const codes = codesIn(pairs);
  const higherFirst = ({ trial }: Outcome) => {
    const [one, other] = codes.get(trial) ?? [];
    return Number(one) > Number(other);
  };
  const higher = pairs.outcomes.map((one) => ({ ...one, value: higherFirst(one) ? 1 : -1 }));
  expect(signs(looked(pairs, { seed: 1 }, higher))).toEqual(['answers by code-number']);
  expect(found(looked(pairs, { seed: 1 }, higher), 'answers', 'code-number').statistic).toBe(1);

  // In an ABX “the first” is right where the third is the first.
  const always = abx.outcomes.map((one) => ({ ...one, value: one.prototypes[2] === one.prototypes[0] ? 1 : 0 }));
  expect(signs(looked(abx, { seed: 1 }, always))).toEqual(['answers by position']);
  expect(found(looked(abx, { seed: 1 }, always), 'answers', 'position').statistic).toBe(1);

  const tired = rated.outcomes.map((one) => ({ ...one, value: one.value - 0.8 * one.position }));
  expect(signs(looked(rated, { seed: 1 }, tired))).toEqual(['answers by position']);
  const single = codesIn(rated);
  const numbered = rated.outcomes.map((one) => ({
    ...one,
    value: one.value + Number(single.get(one.trial)?.[0]) / 200,
  }));
  expect(signs(looked(rated, { seed: 1 }, numbered))).toEqual(['answers by code-number']);
});

test('answers that hang on who hands over are found; of one person nothing is said', () => {
  const { abx, rated } = studies;
  const planted = { seed: 1, operators: ['Cy', 'Dee'] };
  const operators = new Map(handled(abx.told, planted).handOvers.map(({ trial, operator }) => [trial, operator]));
  const led = abx.outcomes.map((one) => ({ ...one, value: operators.get(one.trial) === 'Dee' ? 1 : 0 }));
  expect(signs(looked(abx, planted, led))).toEqual(['answers by operator']);
  expect(found(looked(abx, planted, led), 'answers', 'operator').detail).toMatchObject([
    { group: 'Cy', value: 0 },
    { group: 'Dee', value: 1 },
  ]);
  expect(found(looked(rated, { seed: 1 }), 'answers', 'operator')).toMatchObject({ p: null, reason: 'one-operator' });
});

test('hours of day: only of sessions that began clearly apart', () => {
  const { abx, pairs, rated } = studies;
  expect(found(looked(pairs, { seed: 1 }), 'answers', 'hour').reason).toBe('one-session');
  expect(found(looked(abx, { seed: 1 }), 'answers', 'hour').reason).toBe('same-hours');
  const hours = ['09', '14', '20'];
  const spread = {
    ...rated,
    story: {
      ...rated.story,
      sessions: rated.story.sessions.map((one, i) => ({
        ...one,
        openedAt: `2026-03-0${i + 2}T${hours[i]}:00:00.000Z`,
      })),
    },
  };
  expect(found(looked(spread, { seed: 1 }), 'answers', 'hour').reason).toBeNull();
  const late = rated.outcomes.map((one) => ({ ...one, value: one.value - one.sessionNumber }));
  expect(signs(looked(spread, { seed: 1 }, late))).toEqual(['answers by hour']);
});

test('codes that stay with their samples for the day say nothing by their numbers', () => {
  const study = seenStudy({ ...pairs, handling: 'day-code' }, { seed: 3, worth });
  const test = found(looked(study, { seed: 1 }), 'answers', 'code-number');
  expect(test).toMatchObject({ p: null, n: 0, reason: 'codes-stay' });
});

test('the sample of a known difference is meant to be told: it may take as long as it likes', () => {
  const known = { knownDifference: { trials: 4, prototype: 'proto-c' } };
  const plan = aPlan({ method: 'abx', prototypes: 3, units: 2, trials: 4, controls: known, audiences: [['home', 12]] });
  const study = seenStudy(plan, { seed: 4 });
  const tests = looked(study, { seed: 1, wait: { 'proto-c': 20 }, fit: { 'proto-c': 20 } });
  expect(signs(tests)).toEqual([]);
  const groups = found(tests, 'fitting-time', 'prototype').detail.map(({ group }) => group);
  expect(groups).toEqual(['proto-a', 'proto-b']);
});

test('without a ledger of hand-overs, or with hardly anybody, nothing is made up', () => {
  const { story, told, outcomes } = studies.pairs;
  const nothing = tellTests(story, { handOvers: [], fits: [] }, told, outcomes);
  expect(nothing.filter(({ of }) => of !== 'answers').map(({ reason }) => reason)).toEqual([
    'nothing-to-compare',
    'nothing-to-compare',
    'nothing-to-compare',
  ]);
  const few = seenStudy(aPlan({ audiences: [['home', 2]] }), { seed: 1, truth: { positionBias: 9 } });
  const position = found(looked(few, { seed: 1 }), 'answers', 'position');
  expect([position.couldFind, position.p]).toEqual([false, 0.5]);
});

test('by hand: three listeners, who named the sample heard first so often more than the other', () => {
  const { story, told, outcomes } = studies.pairs;
  const listeners = [...new Set(outcomes.map(({ listener }) => listener))].slice(0, 3);
  // Of four answers each: all four, three, three for the first. Nets 4, 2, 2: 1 of 8 patterns of signs reaches 8.
  const nets = [
    [1, 1, 1, 1],
    [1, 1, 1, -1],
    [1, -1, 1, 1],
  ];
  const small = listeners.flatMap((listener, i) =>
    outcomes
      .filter((one) => one.listener === listener)
      .slice(0, 4)
      .map((one, j) => ({ ...one, value: nets[i]?.[j] ?? 0 })),
  );
  const nothing = { handOvers: [], fits: [] };
  const position = found(tellTests(story, nothing, answeredAs(told, small), small), 'answers', 'position');
  expect(small).toHaveLength(12);
  expect(position).toMatchObject({ n: 3, couldFind: false, permutations: null });
  // 10 of 12; both ends alike, 2 of the 8 patterns.
  expect(position.statistic).toBeCloseTo(10 / 12, 12);
  expect(position.p).toBe(0.25);
});

test('where nothing tells, about one look in a hundred comes out below 0.01', () => {
  let looks = 0;
  let below = 0;
  for (let seed = 1; seed <= 60; seed++) {
    const study = Object.values(studies)[seed % 3] as SeenStudy;
    const tests = looked(study, { seed }).filter(({ of }) => of !== 'answers');
    looks += tests.length;
    below += signs(tests).length;
  }
  expect(looks).toBe(180);
  // 1.8 are expected; more than 6 come in one of a hundred such runs.
  expect(below).toBeLessThanOrEqual(6);
});

test('the same study, the same figures', () => {
  const { rated } = studies;
  expect(looked(rated, { seed: 9 })).toEqual(looked(rated, { seed: 9 }));
});
