import { describe, expect, test } from 'vitest';
import { holdsTwins } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import { planRows } from '../../server/plan-rows';
import { blindLabel, blindWeakness, turningShares } from '../../server/plan-words';
import { handlings, methodIds } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const row = (label: string, wish: PlanWish) => planRows(aPlan(wish)).find((one) => one.label === label)?.value;

test('every line of a plan of any method has a label of its own and says something', () => {
  for (const method of methodIds) {
    const rows = planRows(aPlan({ method, sessions: 3, gapHours: 18 }));
    const labels = rows.map(({ label }) => label);
    expect(new Set(labels).size).toBe(labels.length);
    for (const { value } of [...rows, ...planRows(aPlan({ method, playback: 'renders' }))])
      expect(value).not.toMatch(/undefined|null|NaN|object|^\s*$/);
  }
});

describe('what a method adds', () => {
  test('the word, the role of one of the two, and an order', () => {
    const bass = {
      method: '2-afc',
      spec: { trials: 6, attribute: 'bass' },
      primary: [1, 0],
    } as const satisfies PlanWish;
    expect(row('Asked about', bass)).toBe('Which has more bass; Prototype B should');
    const constant = { method: 'duo-trio', spec: { trials: 6, reference: 'constant' } } as const;
    expect(row('Stands first', constant)).toBe('Always Prototype A');
    expect(row('Learnt first', { method: 'a-not-a', spec: { trials: 6, showOther: true } })).toContain(
      'Prototype A, in',
    );
    const blocks = { method: 'ranking', prototypes: 4, spec: { size: 3, rankings: 1, predicted: true } } as const;
    expect(row('In one ranking', { ...blocks, risks: { sides: 'one-sided' } })).toBe(
      '3 of 4 prototypes, in balanced incomplete blocks; expected order: Prototype A, Prototype B, Prototype C, Prototype D',
    );
  });

  test('sameness names β, the limit and what it isn’t', () => {
    const same = { method: 'triangle', aim: 'similarity' } as const;
    expect(row('Risks', same)).toMatch(/^β 0.2 of calling alike .* truly heard in 50.% of trials on$/);
    expect(row('Decided by', same)).toContain('no proof of sameness');
  });

  test('controls, each with its number, and the sample that is compared with nothing', () => {
    const wish: PlanWish = {
      prototypes: 3,
      controls: { hiddenRepeats: 1, knownDifference: { trials: 2, prototype: 'proto-c' } },
    };
    expect(row('Controls', wish)).toBe(
      'Trials of a sitting that never count for the verdict: 1 put again under new codes · 2 against Prototype C, which everybody should tell',
    );
    expect(row('Prototype 3', wish)).toContain('the known difference, compared with nothing else');
    expect(row('Controls', {})).toBeUndefined();
  });

  test('ABX', () => {
    const abx: PlanWish = { method: 'abx', handling: 'day-code', sessions: 2, gapHours: 72, missed: 'lost' };
    expect(row('Method', abx)).toBe('ABX: two samples, then a third that is one of the two');
    expect(row('Trials', abx)).toBe('6 for each listener in a sitting, after one for practice');
    expect(row('Sittings', abx)).toBe('2 for each listener; at least 3 days between two, no end set');
    expect(row('A missed session', abx)).toBe('Is lost: that listener has one sitting less');
    expect(row('Risks', abx)).toContain('one-sided: more right answers than by guessing');
    expect(row('Risks', abx)).toContain('truly heard in 50\u00a0% of trials');
    expect(row('Decided by', abx)).toContain('Exact one-sided binomial');
    expect(row('Handling', abx)).toContain('the third sample bears the code of its twin');
    expect(row('“No preference”', abx)).toBeUndefined();
    expect(row('Other comparisons', abx)).toBeUndefined();
  });

  test('first impressions: interrupted, one is marked by any rule, since it can’t be had twice', () => {
    const wish: PlanWish = { playback: 'renders', sound: { interruption: 'void' } };
    expect(row('Interrupted sound', { ...wish, method: 'first-impressions' })).toBe('Marks the answer');
    expect(row('Interrupted sound', wish)).toBe('Voids the trial, which comes again');
  });

  test('renders', () => {
    const wish: PlanWish = {
      playback: 'renders',
      excerpts: 2,
      sound: { match: { kind: 'band', low: 300, high: 3000 } },
    };
    expect(row('Prototype 1', wish)).toBe('Prototype A');
    expect(row('Handling', wish)).toContain('The server plays renders');
    expect(row('Excerpts', wish)).toBe('Excerpt A · Excerpt B');
    expect(row('Matched by', wish)).toBe('The level from 300 to 3000 Hz, to the quietest');
    expect(row('Beginning together', wish)).toContain('within one sample');
    expect(row('Heard at least', wish)).toBe('3 seconds of each sample, before an answer counts');
    expect(row('Interrupted sound', wish)).toBe('Marks the answer');
    expect(row('Wireless in-ears', wish)).toBe('Refused');
    expect(row('Levels of units', wish)).toBeUndefined();
  });

  test('a file for each unit, and first impressions of renders', () => {
    const seated: PlanWish = { playback: 'seat-player', sound: { wireless: 'allowed', interruption: 'void' } };
    expect(row('Excerpt', seated)).toBe('Excerpt A');
    expect(row('Matched by', seated)).toBe('Programme loudness (ITU-R BS.1770), unit by unit, to the quietest');
    expect(row('Beginning together', seated)).toBeUndefined();
    expect(row('Interrupted sound', seated)).toBe('Voids the trial, which comes again');
    expect(row('Levels of units', seated)).toBe('A measurement holds for 30 days');
    expect(row('Heard at least', { playback: 'renders', method: 'first-impressions' })).toBeUndefined();
  });

  test('first impressions', () => {
    const weeks: PlanWish = {
      method: 'first-impressions',
      scales: [
        'liking',
        'bass',
        { id: 'own-air', name: 'Air', low: 'closed', high: 'open', polarity: 'bipolar', points: 5 },
      ],
      hiddenRepeats: 1,
      sessions: 3,
      gapHours: 18,
      spanDays: 28,
      firstImpression: { windowSeconds: 8, reset: { kind: 'neutral', seconds: 15, item: 'A cello' } },
      checkIn: { tiredness: 'mark' },
    };
    expect(['Scale 1', 'Scale 2', 'Scale 3', 'Scale 4'].map((label) => row(label, weeks))).toEqual([
      'Liking: dislike −3 … like +3',
      'Bass: little 1 … much 7',
      'Air: closed −2 … open +2',
      undefined,
    ]);
    expect(row('Samples', weeks)).toContain('3 for each listener in a sitting, 1 of them a prototype once more');
    expect(row('First impression', weeks)).toContain('8 seconds, heard once');
    expect(row('Rest before each', weeks)).toBe('15 seconds of a neutral piece: A cello');
    expect(row('Sittings', weeks)).toBe(
      '3 for each listener; at least 18 hours between two, at most 28 days from first to last',
    );
    expect(row('Check-in', weeks)).toContain('Tired: sits, answers marked');
    expect(row('Primary comparison', weeks)).toBe('Prototype A against Prototype B on Liking');
    expect(row('Other comparisons', weeks)).toContain('All other pairs and scales');
    expect(row('Over sessions', weeks)).toContain('within 1\u00a0point');
    expect(row('Over sessions', { ...weeks, sessions: 1 })).toBeUndefined();
    expect(row('A missed session', { ...weeks, sessions: 1 })).toBeUndefined();
  });

  test('the study that it goes on from', () => {
    const follows = { study: 'study-1', planHash: 'ab'.repeat(32) };
    expect(row('Goes on from', { follows })).toContain(follows.planHash);
    expect(row('Goes on from', {})).toBeUndefined();
  });
});

test('how blind a plan is: with codes of the day it loses by a method whose trials hold one sample twice', () => {
  for (const id of methodIds) {
    for (const handling of handlings) {
      const weak = handling === 'day-code' && holdsTwins(methodOf(aPlan({ method: id })).form);
      expect(blindWeakness({ handling, method: { id } }) !== null).toBe(weak);
      expect(blindLabel({ handling, method: { id } }) === 'Blind for listeners only').toBe(weak);
    }
  }
});

test('where a verdict turns, in the measure of its estimate', () => {
  expect(turningShares(aPlan())).toEqual([0.5, 0.75, 0.25]);
  expect(turningShares(aPlan({ method: 'abx' }))).toEqual([0, 0.5]);
  expect(turningShares(aPlan({ method: 'first-impressions' }))).toEqual([-1, 0, 1]);
});

test('what is left out by rule', () => {
  expect(row('Left out by rule', {})).toBe('Nothing: every answer counts');
  const weeks: PlanWish = { method: 'first-impressions', exclusions: ['marked', 'late'] };
  expect(row('Left out by rule', weeks)).toBe('Answers with any of these marks: marked at check-in · rated too late');
  expect(row('Decided by', weeks)).toContain('Late ratings are left out');
  expect(row('Decided by', { method: 'first-impressions' })).toContain('Late ratings count');
});
