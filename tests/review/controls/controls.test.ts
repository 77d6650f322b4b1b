import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../../protocols/protocol';
import { controlsOf } from '../../../server/review/controls/controls';
import { controlWarnings } from '../../../server/review/controls/warnings';
import type { PrototypeId, UnitId } from '../../../shared/brands';
import type { ControlKind, Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { matched, said } from '../../protocols/simulated-study';

const as = (control: ControlKind, outcomes: Outcome[], more: Partial<Outcome> = {}): Outcome[] =>
  outcomes.map((one) => ({ ...one, control, ...more }));
const of = (plan: Plan, outcomes: Outcome[]) => controlsOf(outcomes, plan, (listener) => listener);

test('a plan without any, and one whose method repeats samples by itself, say nothing of controls', () => {
  expect(of(aPlan(), said('L', 'ab+'))).toBeUndefined();
  expect(of(aPlan({ method: 'first-impressions', hiddenRepeats: 1 }), [])).toBeUndefined();
});

describe('right or wrong', () => {
  const plan = aPlan({
    method: 'abx',
    prototypes: 3,
    units: 2,
    controls: { knownDifference: { trials: 2, prototype: 'proto-c' }, units: 1 },
  });

  test('the known difference: rights of how many, by listener, against guessing', () => {
    const own = [
      ...as('knownDifference', matched('Home 10', '+++++')),
      ...as('knownDifference', matched('Home 2', '++-')),
    ];
    expect(of(plan, [...matched('Home 2', '----'), ...own])?.[0]).toEqual({
      kind: 'knownDifference',
      measure: 'right',
      trials: 8,
      right: 7,
      chance: 1 / 2,
      // 9/256: seven or eight of eight.
      p: 9 / 256,
      listeners: [
        { listener: 'Home 2', right: 2, trials: 3 },
        { listener: 'Home 10', right: 5, trials: 5 },
      ],
    });
  });

  test('units that are told apart warn in every result, those that aren’t don’t', () => {
    const told = of(plan, as('units', matched('Home 1', '+++++'))) ?? [];
    expect(told[1]).toMatchObject({ kind: 'units', trials: 5, right: 5, p: 1 / 32 });
    expect(controlWarnings(told, 0.05)).toEqual(['units-told-apart:5:5']);
    expect(controlWarnings(of(plan, as('units', matched('Home 1', '++++-'))) ?? [], 0.05)).toEqual([]);
    expect(controlWarnings(of(plan, as('knownDifference', matched('Home 1', '+++++'))) ?? [], 0.05)).toEqual([]);
  });

  test('before any answer there is a count of none, and no p', () => {
    expect(of(plan, [])).toMatchObject([
      { trials: 0, right: 0, p: null, listeners: [] },
      { trials: 0, right: 0, p: null },
    ]);
  });
});

describe('choices', () => {
  const plan = aPlan({
    prototypes: 3,
    units: 2,
    noPreference: { offered: true, rule: 'split' },
    controls: {
      hiddenRepeats: 1,
      identicalPairs: 2,
      knownDifference: { trials: 1, prototype: 'proto-c' },
      units: 1,
    },
  });
  const found = (outcomes: Outcome[], kind: ControlKind) => of(plan, outcomes)?.find((one) => one.kind === kind);

  test('identical pairs: how often none was preferred, and whether listeners lean to one place', () => {
    // Six who always take the first: both patterns of signs that are as far out, of 64.
    const first = ['1', '2', '3', '4', '5', '6'].flatMap((n) => said(`Home ${n}`, 'aa+ aa+'));
    expect(found(as('identicalPairs', first), 'identicalPairs')).toMatchObject({
      first: 12,
      second: 0,
      none: 0,
      p: 2 / 64,
    });
    const torn = as('identicalPairs', said('Home 1', 'aa+ aa- aa0'));
    expect(found(torn, 'identicalPairs')).toMatchObject({
      trials: 3,
      first: 1,
      second: 1,
      none: 1,
      p: 1,
      listeners: [{ listener: 'Home 1', first: 1, second: 1, none: 1 }],
    });
    expect(found([], 'identicalPairs')).toMatchObject({ trials: 0, p: null });
  });

  test('the known sample: for whom, whichever way round it was heard', () => {
    expect(found(as('knownDifference', said('Home 1', 'ac- ca+ ac+ bc0')), 'knownDifference')).toMatchObject({
      trials: 4,
      known: 2,
      other: 1,
      none: 1,
    });
  });

  test('hidden repeats: the same answer to the same pair, whichever way round; of one never answered in none', () => {
    const own = said('Home 1', 'ab+ ab+');
    const again = (line: string, position: number) => as('hiddenRepeats', said('Home 1', line), { position });
    const count = (...outcomes: Outcome[]) => found(outcomes, 'hiddenRepeats');
    expect(count(...own, ...again('ba-', 5))).toMatchObject({ trials: 1, same: 1 });
    expect(count(...own, ...again('ba+', 5))).toMatchObject({ trials: 1, same: 0 });
    expect(count(...own, ...again('ba0', 5))).toMatchObject({ trials: 1, same: 0 });
    expect(count(...again('ba0', 5))).toMatchObject({ trials: 0, same: 0, listeners: [] });
    // The one it repeats was put again, and answered, after it.
    const late = said('Home 1', 'ab0').map((one) => ({ ...one, position: 9 }));
    expect(count(...late, ...again('ba0', 5))).toMatchObject({ trials: 1, same: 1 });
    // Another day is no repeat.
    const away = own.map((one) => ({ ...one, sitting: 'other' as Outcome['sitting'] }));
    expect(count(...away, ...again('ba-', 5))).toMatchObject({ trials: 0 });
  });

  test('units of one prototype: for which, pair by pair, corrected over the pairs', () => {
    const heard = (n: number, word: string, units: string[]) =>
      as('units', said(`Home ${n}`, word), {
        units: units as UnitId[],
        prototypes: ['proto-a', 'proto-a'] as PrototypeId[],
      });
    const pairs = [1, 2, 3, 4, 5, 6, 7].flatMap((n) =>
      n % 2 === 0 ? heard(n, 'aa+', ['unit-a1', 'unit-a2']) : heard(n, 'aa-', ['unit-a2', 'unit-a1']),
    );
    const result = of(plan, [...pairs, ...heard(8, 'aa0', ['unit-b1', 'unit-b2'])]) ?? [];
    expect(result.find(({ kind }) => kind === 'units')).toMatchObject({
      trials: 8,
      none: 1,
      pairs: [
        // Seven of one mind: 2/128, and twice that beside another pair.
        { first: 'unit-a1', second: 'unit-a2', forFirst: 7, forSecond: 0, p: 1 / 64, pAdjusted: 1 / 32 },
        { first: 'unit-b1', forFirst: 0, forSecond: 0, none: 1, p: 1, pAdjusted: 1 },
      ],
    });
    expect(controlWarnings(result, 0.05)).toEqual(['units-preferred:1:2']);
    expect(controlWarnings(result, 0.02)).toEqual([]);
  });
});

describe('yes and no', () => {
  const controls = { knownDifference: { trials: 1, prototype: 'proto-c' } };
  const answer = (listener: string, prototypes: string[], yes: boolean, more: Partial<Outcome> = {}): Outcome => ({
    ...(matched(listener, '-')[0] as Outcome),
    prototypes: prototypes.map((letter) => `proto-${letter}` as PrototypeId),
    value: yes ? 1 : 0,
    ...more,
  });

  test('“different” said of units is held against pairs of one sample in the same sitting', () => {
    const plan = aPlan({ method: 'same-different', units: 2, controls: { units: 1 } });
    const panel = ['1', '2', '3', '4', '5'].flatMap((n) => [
      answer(`Home ${n}`, ['a', 'a'], true, { control: 'units' }),
      answer(`Home ${n}`, ['a', 'a'], false),
      answer(`Home ${n}`, ['a', 'b'], true),
    ]);
    // Of two places in each of five sittings the yes stood at the one: 1 of 32.
    expect(of(plan, panel)?.[0]).toMatchObject({ kind: 'units', trials: 5, right: 5, chance: null });
    const found = of(plan, panel)?.[0];
    expect(found?.measure === 'right' && found.p).toBeCloseTo(1 / 32, 12);
    expect(controlWarnings(of(plan, panel) ?? [], 0.05)).toEqual(['units-told-apart:5:5']);
  });

  test('a known difference is right when it is taken for another than the one that was learnt', () => {
    const plan = aPlan({ method: 'a-not-a', prototypes: 3, controls });
    const panel = ['1', '2'].flatMap((n) => [
      answer(`Home ${n}`, ['c'], false, { control: 'knownDifference' }),
      answer(`Home ${n}`, ['a'], true),
      answer(`Home ${n}`, ['b'], true),
    ]);
    const found = of(plan, panel)?.[0];
    expect(found).toMatchObject({ trials: 2, right: 2, chance: null });
    expect(found?.measure === 'right' && found.p).toBeCloseTo(1 / 4, 12);
  });
});

test('a ranking put once more: Kendall’s tau between the two orders, whichever way round they were heard', () => {
  const plan = aPlan({ method: 'ranking', prototypes: 4, spec: { size: 4 }, controls: { hiddenRepeats: 1 } });
  const ranked = (listener: string, heard: string, order: string, position: number, more: Partial<Outcome> = {}) =>
    [...heard].map(
      (letter, place): Outcome => ({
        ...(matched(listener, '-')[0] as Outcome),
        trial: `${listener} ${position}` as Outcome['trial'],
        position,
        prototypes: [...heard].map((one) => `proto-${one}` as PrototypeId),
        place,
        value: order.indexOf(letter) + 1,
        ...more,
      }),
    );
  const again = { control: 'hiddenRepeats' } as const;
  const found = of(plan, [
    ...ranked('Home 1', 'abcd', 'abcd', 1),
    ...ranked('Home 1', 'dbca', 'abcd', 2, again),
    ...ranked('Home 2', 'abcd', 'abcd', 1),
    // Two of six pairs the other way round: (4 − 2)/6.
    ...ranked('Home 2', 'cdab', 'badc', 2, again),
  ]);
  expect(found).toEqual([
    {
      kind: 'hiddenRepeats',
      measure: 'order',
      trials: 2,
      tau: (1 + 1 / 3) / 2,
      listeners: [
        { listener: 'Home 1', tau: 1, trials: 1 },
        { listener: 'Home 2', tau: 2 / 6, trials: 1 },
      ],
    },
  ]);
});
