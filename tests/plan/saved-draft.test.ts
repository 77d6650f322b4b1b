import { describe, expect, test } from 'vitest';
import { candidate } from '../../server/plan/candidate';
import { checkPlan } from '../../server/plan/check';
import { changeParts } from '../../server/plan/draft-parts';
import { draftFrom, presets } from '../../server/plan/presets';
import { draftFromPlan, openDraft } from '../../server/plan/saved-draft';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const start = draftFrom(presets.find(({ id }) => id === 'three') as (typeof presets)[0], 'Vents');

const before = [
  ...['title', 'question', 'prototypes', 'audiences', 'turns', 'sessions', 'noPreference', 'alpha', 'beta'],
  ...['smallest', 'sides', 'primary', 'handling', 'playback', 'tips', 'timing'],
];

describe('drafts of earlier days', () => {
  /** As the version before kept it. */
  const kept = Object.fromEntries(Object.entries(start).filter(([name]) => before.includes(name)));
  const { first, second } = start.primary;
  const old = { ...kept, smallest: '0.8', primary: { first, second } };

  test('one of the version before opens with what it didn’t know yet', () => {
    const opened = openDraft(JSON.stringify(old));
    expect(opened).toEqual({
      ...start,
      smallest: { share: '0.8', heard: '0.5', points: '1', 'd-prime': '1', ticked: '0.3' },
      openReference: '',
    });
    expect([opened.method, opened.aim]).toEqual(['paired-preference', 'preference']);
    expect(checkPlan(candidate(opened)).problems.every(({ code }) => code === 'missing')).toBe(true);
  });

  test('one of this version opens as it was kept', () => {
    for (const id of ['abx', 'ranking', 'a-not-a', 'first-impressions', 'reference-and-anchors', 'check-all']) {
      const draft = changeParts(start, `method:${id}`);
      expect(openDraft(JSON.stringify(draft))).toEqual(draft);
    }
  });
});

describe('a plan as a draft again', () => {
  test.each<[string, PlanWish]>([
    ['paired preference', { prototypes: 3, noPreference: { offered: true, rule: 'drop' }, units: [2, 1, 1] }],
    ['one-sided', { risks: { sides: 'one-sided', alpha: 0.0000001, beta: 0.15 } }],
    ['ABX', { method: 'abx', trials: 4, sessions: 2, gapHours: 20.5, spanDays: 9, missed: 'lost' }],
    [
      'first impressions',
      { method: 'first-impressions', prototypes: 3, hiddenRepeats: 2, checkIn: { illness: 'pass' } },
    ],
    [
      'first impressions with a piece',
      {
        method: 'first-impressions',
        scales: [{ id: 'own-air', name: 'Air', low: 'closed', high: 'open', polarity: 'bipolar', points: 5 }],
        firstImpression: { windowSeconds: 8, reset: { kind: 'neutral', seconds: 30, item: 'A cello' } },
      },
    ],
    [
      'a word, a known difference and looks',
      {
        method: '2-afc',
        prototypes: 3,
        spec: { trials: 8, attribute: 'upper bass' },
        primary: [1, 0],
        controls: { knownDifference: { trials: 2, prototype: 'proto-c' } },
        looks: { kind: 'sequential', bounds: 'wald' },
      },
    ],
    [
      'sameness by units',
      {
        method: 'triangle',
        aim: 'similarity',
        units: 2,
        controls: { units: 1 },
        risks: { alpha: 0.2, beta: 0.05, smallest: { kind: 'heard', value: 0.3 } },
      },
    ],
    ['a reference that stays', { method: 'duo-trio', spec: { trials: 6, reference: 'constant' }, primary: [1, 0] }],
    ['one that is learnt alone', { method: 'a-not-a', spec: { trials: 8, showOther: false } }],
    [
      'an expected order',
      {
        method: 'ranking',
        prototypes: 3,
        spec: { size: 3, rankings: 2, predicted: true },
        risks: { sides: 'one-sided' },
        controls: { hiddenRepeats: 1 },
      },
    ],
    ['a preference with controls', { prototypes: 3, controls: { hiddenRepeats: 1, identicalPairs: 2 } }],
    ['renders', { playback: 'renders', excerpts: 2, sound: { match: { kind: 'band', low: 250, high: 4000.5 } } }],
    [
      'renders at first hearing',
      { playback: 'renders', method: 'first-impressions', sound: { alignment: 'declared', interruption: 'void' } },
    ],
    [
      'a file for each unit',
      { playback: 'seat-player', excerpts: 3, sound: { minimumSeconds: 9, wireless: 'allowed' } },
    ],
  ])('%s: same plan, and the study before', (_what, wish) => {
    const plan = aPlan(wish);
    const follows = { study: 'study-1', planHash: 'a'.repeat(64) };
    expect(checkPlan(candidate(draftFromPlan(plan, follows)))).toEqual({ plan: { ...plan, follows }, problems: [] });
    expect(checkPlan(candidate(draftFromPlan(plan, null)))).toEqual({ plan, problems: [] });
  });
});
