import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { amend } from '../../server/plan/amended-plan';
import { type Draft, draftFromForm } from '../../server/plan/draft';
import { draftFromPlan } from '../../server/plan/saved-draft';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const nothingDone = { places: {}, held: 0 };
const twoAudiences: PlanWish = {
  audiences: [
    ['home', 8],
    ['stage', 6],
  ],
  sessions: 3,
  gapHours: 18,
  spanDays: 28,
};
const typed = (plan: Plan, values: Record<string, string>): Draft =>
  draftFromForm(draftFromPlan(plan, null), { title: plan.title, ...values });
const amended = (plan: Plan, values: Record<string, string>, done = nothingDone) =>
  amend(plan, typed(plan, values), done);

/** One of each form. */
const kinds = ['paired-preference', 'abx', 'a-not-a', 'ranking', 'first-impressions'] as const;

describe.each(kinds)('%s', (method) => {
  const prototypes = method === 'ranking' ? 3 : 2;
  const plan = aPlan({ ...twoAudiences, method, prototypes });

  test('a plan that is only looked at stays as it is', () => {
    expect(amend(plan, draftFromPlan(plan, null), nothingDone)).toEqual({ plan, changes: [], problems: [] });
  });

  test('each value that may change is told by its path, and nothing else changes', () => {
    const values = {
      title: 'Vents, second try',
      question: 'Which one do they like better?',
      'audiences.1.listeners': '9',
      'sessions.count': '4',
      'sessions.minimumGapHours': '24',
      'sessions.maximumSpanDays': '',
      'sessions.missed': 'lost',
      'checkIn.tiredness': 'postpone',
      'exclusions.marked': 'yes',
      'timing.swap': '31',
    };
    const { plan: after, changes } = amended(plan, values) as { plan: Plan; changes: unknown[] };
    expect(changes).toEqual([
      { path: 'title', from: plan.title, to: 'Vents, second try' },
      { path: 'question', from: plan.question, to: 'Which one do they like better?' },
      { path: 'audiences.1.listeners', from: 6, to: 9 },
      { path: 'sessions.count', from: 3, to: 4 },
      { path: 'sessions.minimumGapHours', from: 18, to: 24 },
      { path: 'sessions.maximumSpanDays', from: 28, to: 0 },
      { path: 'sessions.missed', from: 'make-up', to: 'lost' },
      { path: 'checkIn.tiredness', from: 'pass', to: 'postpone' },
      { path: 'exclusions', from: [], to: ['marked'] },
      { path: 'timing.swap', from: plan.timing.swap, to: 31 },
    ]);
    expect(after).toEqual({
      ...plan,
      title: 'Vents, second try',
      question: 'Which one do they like better?',
      audiences: [plan.audiences[0], { ...plan.audiences[1], listeners: 9 }],
      sessions: { count: 4, minimumGapHours: 24, maximumSpanDays: 0, missed: 'lost' },
      checkIn: { ...plan.checkIn, tiredness: 'postpone' },
      exclusions: ['marked'],
      timing: { ...plan.timing, swap: 31 },
    });
  });

  test.each(['renders', 'seat-player'] as const)(
    '%s: rules for listeners may change, and nothing of what is played',
    (playback) => {
      const before = aPlan({ ...twoAudiences, method, prototypes, playback, excerpts: 2 });
      const { plan: after, changes } = amended(before, {
        'excerpts.0.name': 'Another',
        playback: 'bench-player',
        handling: 'solo',
        'sound.match.kind': 'band',
        'sound.alignment': 'declared',
        'sound.minimumSeconds': '8',
        'sound.interruption': 'void',
        'sound.wireless': 'allowed',
        'levels.staleDays': '300',
      }) as { plan: Plan; changes: unknown[] };
      // A first impression lasts as long as its window.
      const minimum = method === 'first-impressions' ? 3 : 8;
      expect(changes).toEqual([
        ...(minimum === 3 ? [] : [{ path: 'sound.minimumSeconds', from: 3, to: 8 }]),
        { path: 'sound.interruption', from: 'mark', to: 'void' },
        { path: 'sound.wireless', from: 'refused', to: 'allowed' },
      ]);
      expect(after).toEqual({
        ...before,
        sound: { ...before.sound, minimumSeconds: minimum, interruption: 'void', wireless: 'allowed' },
      });
    },
  );

  test('whatever else is sent, what is compared and how it is decided stays', () => {
    const names = [
      ...['method.id', 'method.spec.turns', 'method.spec.trials', 'method.spec.scales.0.name', 'risks.alpha'],
      ...['risks.beta', 'risks.sides', 'risks.smallest.value', 'primary.first', 'primary.second', 'primary.scale'],
      ...['handling', 'playback', 'tips', 'prototypes.0.name', 'prototypes.0.units.0.serial', 'audiences.0.name'],
      ...['controls.hiddenRepeats', 'firstImpression.windowSeconds', 'noPreference.offered', 'do'],
    ];
    const sent = fc.dictionary(fc.constantFrom(...names), fc.oneof(fc.string(), fc.constantFrom('yes', '7', 'abx')));
    fc.assert(
      fc.property(sent, (values) => {
        const draft = typed(plan, { ...values, 'method.id': method });
        expect(amend(plan, draft, nothingDone)).toEqual({ plan, changes: [], problems: [] });
      }),
      { numRuns: 30 },
    );
  });
});

describe('what was done must stay possible', () => {
  const plan = aPlan(twoAudiences);
  const pathsOf = (values: Record<string, string>, done: Parameters<typeof amend>[2]) =>
    amended(plan, values, done).problems.map(({ path, allowed }) => [path, allowed]);

  test.each<[Record<string, string>, Parameters<typeof amend>[2], unknown[]]>([
    [{ 'audiences.0.listeners': '5' }, { places: { home: 5 }, held: 1 }, []],
    [{ 'audiences.0.listeners': '4' }, { places: { home: 5 }, held: 1 }, [['audiences.0.listeners', 'at least 5']]],
    [{ 'audiences.1.listeners': '4' }, { places: { home: 5 }, held: 1 }, []],
    // More came than were planned: nobody is sent away, and the plan needn't grow.
    [{ 'audiences.0.listeners': '8' }, { places: { home: 11 }, held: 1 }, []],
    [{ 'audiences.0.listeners': '7' }, { places: { home: 11 }, held: 1 }, [['audiences.0.listeners', 'at least 8']]],
    [{ 'sessions.count': '2' }, { places: {}, held: 2 }, []],
    [{ 'sessions.count': '1' }, { places: {}, held: 2 }, [['sessions.count', 'at least 2']]],
    // Missed sittings that were made up for took more sessions than there are sittings.
    [{ 'sessions.count': '3' }, { places: {}, held: 5 }, []],
  ])('%j after %j', (values, done, problems) => {
    expect(pathsOf(values, done)).toEqual(problems);
  });

  test('and the plan must still be a plan', () => {
    expect(pathsOf({ 'sessions.minimumGapHours': '480', 'sessions.maximumSpanDays': '28' }, nothingDone)).toEqual([
      ['sessions.maximumSpanDays', expect.stringMatching(/^at least/)],
    ]);
    expect(pathsOf({ 'checkIn.pain': 'pass', 'timing.fit': 'long' }, nothingDone).map(([path]) => path)).toEqual([
      'checkIn.pain',
      'timing.fit',
    ]);
  });
});
