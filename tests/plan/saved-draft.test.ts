import { describe, expect, test } from 'vitest';
import { candidate } from '../../server/plan/candidate';
import { checkPlan } from '../../server/plan/check';
import { changeParts } from '../../server/plan/draft-parts';
import { draftFrom, presets } from '../../server/plan/presets';
import { draftFromPlan, openDraft } from '../../server/plan/saved-draft';
import { methodIds } from '../../shared/plan';
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
      smallest: { share: '0.8', heard: '0.5', points: '1' },
    });
    expect(opened.method).toBe('paired-preference');
    expect(checkPlan(candidate(opened)).problems.every(({ code }) => code === 'missing')).toBe(true);
  });

  test('one of this version opens as it was kept', () => {
    for (const id of methodIds) {
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
