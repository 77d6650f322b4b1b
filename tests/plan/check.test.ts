import { describe, expect, test } from 'vitest';
import { checkPlan } from '../../server/plan/check';
import { exclusionRules, methodIds, type Plan } from '../../shared/plan';
import { starterScales } from '../../shared/scales';
import { aPlan, type PlanWish } from '../blinding/a-plan';

/** The problems of a plan after a change, as path, code and words. */
function problems(change: (plan: Plan) => void, wish: PlanWish = {}): [string, string, string][] {
  const plan = structuredClone(aPlan(wish));
  change(plan);
  return checkPlan(plan).problems.map(({ path, code, message }) => [path, code, message]);
}
/** Sets what the types forbid. */
const put = (path: string, value: unknown) => (plan: Plan) => {
  const steps = path.split('.');
  const last = steps.pop() as string;
  const place = steps.reduce<Record<string, unknown>>((at, step) => at[step] as Record<string, unknown>, plan as never);
  if (value === undefined) delete place[last];
  else place[last] = value;
};

test('a plan of any method without fault', () => {
  for (const method of methodIds) {
    const prototypes = method === 'ranking' ? 3 : 2;
    const plan = aPlan({ method, prototypes, sessions: 3, gapHours: 18, spanDays: 1.7 });
    expect(checkPlan(plan)).toEqual({ plan, problems: [] });
  }
});

test('a plan without fault', () => {
  for (const prototypes of [2, 3, 8]) {
    const plan = aPlan({
      prototypes,
      units: 2,
      audiences: [
        ['home', 4],
        ['stage', 4],
      ],
    });
    expect(checkPlan(plan)).toEqual({ plan, problems: [] });
  }
});

describe('each field by itself', () => {
  test.each<[string, unknown, string, string]>([
    ['title', '', 'missing', 'The name of the study is missing.'],
    ['title', '   ', 'missing', 'The name of the study is missing.'],
    ['title', 'x'.repeat(121), 'too-long', 'The name of the study must have at most 120 characters; it has 121.'],
    ['question', '', 'missing', 'The question is missing.'],
    ['question', 'x'.repeat(201), 'too-long', 'The question must have at most 200 characters; it has 201.'],
    ['prototypes.1.name', '', 'missing', 'The name of prototype 2 is missing.'],
    [
      'prototypes.1.name',
      'x'.repeat(61),
      'too-long',
      'The name of prototype 2 must have at most 60 characters; it has 61.',
    ],
    ['prototypes.1.units.0.serial', '', 'missing', 'Prototype 2: the serial of unit 1 is missing.'],
    [
      'prototypes.0.units.0.note',
      'x'.repeat(301),
      'too-long',
      'The note must have at most 300 characters; it has 301.',
    ],
    ['audiences.0.name', '', 'missing', 'The name of audience 1 is missing.'],
    ['audiences.0.listeners', undefined, 'missing', 'The listeners of audience 1 is missing.'],
    ['audiences.0.listeners', 0, 'too-small', 'The listeners of audience 1 must be at least 1; 0 came.'],
    ['audiences.0.listeners', 201, 'too-large', 'The listeners of audience 1 must be at most 200; 201 came.'],
    ['audiences.0.listeners', 2.5, 'wrong-type', 'The listeners of audience 1 must be a whole number; 2.5 came.'],
    ['audiences.0.listeners', 'many', 'wrong-type', 'The listeners of audience 1 must be a number.'],
    ['method.spec.turns', undefined, 'missing', 'Turns for each listener is missing.'],
    ['method.spec.turns', 0, 'too-small', 'Turns for each listener must be at least 1; 0 came.'],
    ['method.spec.turns', 61, 'too-large', 'Turns for each listener must be at most 60; 61 came.'],
    ['method.spec.turns', 1.5, 'wrong-type', 'Turns for each listener must be a whole number; 1.5 came.'],
    ['sessions.count', 0, 'too-small', 'The number of sessions must be at least 1; 0 came.'],
    ['sessions.count', 13, 'too-large', 'The number of sessions must be at most 12; 13 came.'],
    ['risks.alpha', 0, 'too-small', 'The risk of a false find (α) must be more than 0; 0 came. 0.05 is usual.'],
    ['risks.alpha', 0.21, 'too-large', 'The risk of a false find (α) must be at most 0.2; 0.21 came. 0.05 is usual.'],
    [
      'risks.alpha',
      5,
      'too-large',
      'The risk of a false find (α) must be at most 0.2; 5 came. For 5\u00a0% write 0.05.',
    ],
    ['risks.alpha', '5 %', 'wrong-type', 'The risk of a false find (α) must be a number. For 5\u00a0% write 0.05.'],
    [
      'risks.beta',
      0.51,
      'too-large',
      'The risk of missing it (β) must be at most 0.5; 0.51 came. 0.2 is usual, and 0.05 where sameness is to be shown.',
    ],
    ['risks.smallest.value', 0.5, 'too-small', 'The smallest share worth finding must be more than 0.5; 0.5 came.'],
    ['risks.smallest.value', 1, 'too-large', 'The smallest share worth finding must be less than 1; 1 came.'],
    ['risks.sides', 'three', 'not-a-choice', 'The direction must be one of: two-sided, one-sided.'],
    ['handling', '', 'missing', 'Who loads and who hands over is missing.'],
    [
      'handling',
      'mine',
      'not-a-choice',
      'Who loads and who hands over must be one of: two-person, day-code, solo, server.',
    ],
    [
      'playback',
      'x',
      'not-a-choice',
      'Where the programme comes from must be one of: bench-player, seat-device, none, seat-player, renders.',
    ],
    ['tips', 'x', 'not-a-choice', 'The rule for tips must be one of: own-tips, cleaned-tips, tip-is-prototype.'],
    [
      'noPreference.rule',
      'x',
      'not-a-choice',
      'What the analysis does with “no preference” must be one of: split, drop.',
    ],
    ['timing.listen', 4, 'too-small', 'The seconds of listening must be at least 5; 4 came.'],
    ['timing.swap', 601, 'too-large', 'The seconds of swapping must be at most 600; 601 came.'],
    ['timing.fit', 301, 'too-large', 'The seconds for fit and seal must be at most 300; 301 came.'],
    ['timing.answer', 1, 'too-small', 'The seconds of answering must be at least 5; 1 came.'],
  ])('%s = %j: %s', (path, value, code, message) => {
    expect(problems(put(path, value))).toEqual([[path, code, message]]);
  });

  test('all at once, one line for each field', () => {
    const several = problems((plan) => {
      put('title', '')(plan);
      put('risks.alpha', 5)(plan);
      put('method.spec.turns', 'x')(plan);
    });
    expect(several.map(([path]) => path)).toEqual(['title', 'risks.alpha', 'method.spec.turns']);
  });

  test('too few or too many prototypes', () => {
    expect(problems((plan) => void plan.prototypes.pop())).toMatchObject([
      ['prototypes', 'too-few', expect.stringContaining('at least 2')],
    ]);
  });

  test('what is no plan at all', () => {
    for (const raw of [null, 1, 'x', [], {}]) expect(checkPlan(raw).plan).toBeNull();
    expect(checkPlan(null).problems.length).toBeGreaterThan(0);
  });

  test('a field of a later version is not swallowed', () => {
    expect(problems(put('cheating', 1)).map(([path, code]) => [path, code])).toEqual([['cheating', 'unknown-field']]);
  });
});

describe('fields together', () => {
  test.each<[string, (plan: Plan) => void, string, string]>([
    [
      'two prototypes of one name, but for case and width',
      (plan) => {
        put('prototypes.0.name', 'Vent A')(plan);
        put('prototypes.1.name', 'ｖent a')(plan);
      },
      'prototypes.1.name',
      'The name “ｖent a” stands there twice. Give each its own.',
    ],
    [
      'two audiences of one name',
      (plan) => put('audiences.1.name', 'home')(plan),
      'audiences.1.name',
      'The audience “home” stands there twice. Give each its own.',
    ],
    [
      'one serial on two units, over prototypes',
      (plan) => put('prototypes.1.units.0.serial', 's-a1')(plan),
      'prototypes.1.units.0.serial',
      'The serial “s-a1” stands there twice. Give each its own.',
    ],
    [
      'one id twice',
      (plan) => put('prototypes.2.units.0.id', 'unit-a1')(plan),
      'prototypes',
      'The id unit-a1 stands there twice.',
    ],
  ])('%s', (_what, change, path, message) => {
    expect(
      problems(change, {
        prototypes: 3,
        audiences: [
          ['home', 4],
          ['stage', 4],
        ],
      }),
    ).toEqual([[path, 'repeated', message]]);
  });

  test('what reads like the code of a carrier is named by its field', () => {
    const { prototypes, ...plan } = aPlan();
    const [first, ...others] = prototypes;
    const changed = (name: string, serial: string) =>
      checkPlan({ ...plan, prototypes: [{ ...first, name, units: [{ ...first?.units[0], serial }] }, ...others] })
        .problems;
    expect(changed('417', '089').map(({ path, code }) => [path, code])).toEqual([
      ['prototypes.0.name', 'reads-like-code'],
      ['prototypes.0.units.0.serial', 'reads-like-code'],
    ]);
    expect(changed('417 B', '0089')).toEqual([]);
  });

  test.each([
    ['proto-a', 'proto-a'],
    ['proto-a', 'proto-z'],
    ['proto-z', 'proto-a'],
  ])('the primary comparison of %s with %s', (first, second) => {
    expect(problems((plan) => put('primary', { first, second })(plan))).toEqual([
      ['primary.first', 'not-a-pair', 'The primary comparison needs two different prototypes of this plan.'],
    ]);
  });

  test('turns that leave some pairs out', () => {
    expect(problems(put('method.spec.turns', 4), { prototypes: 3 })).toEqual([
      ['method.spec.turns', 'turns-not-whole', expect.stringContaining('Take 3 or 6.')],
    ]);
  });

  test('fresh carriers need codes: up to 700 of the 775, 75 are kept for what comes unplanned', () => {
    // 3 prototypes, once: (3 + 1)·2 = 8 codes a listener.
    expect(problems(() => {}, { prototypes: 3, audiences: [['home', 87]] })).toEqual([]);
    expect(
      problems(() => {}, {
        prototypes: 3,
        audiences: [
          ['home', 80],
          ['stage', 8],
        ],
      }),
    ).toEqual([
      ['handling', 'too-many-codes', expect.stringContaining('704 codes in one session; three digits give 700')],
    ]);
    // Twelve beside a reference take thirteen each time they are put again.
    const beside: PlanWish = { method: 'reference-and-anchors', prototypes: 12, audiences: [['home', 42]] };
    expect(problems(() => {}, beside)).toEqual([
      ['playback', 'too-many-codes', expect.stringContaining('672 codes in one session; three digits give 658')],
    ]);
    expect(problems(() => {}, { prototypes: 3, audiences: [['home', 88]], handling: 'day-code' })).toEqual([]);
  });
});

describe('sessions over weeks', () => {
  test.each<[string, unknown, string, string]>([
    [
      'sessions.minimumGapHours',
      -1,
      'too-small',
      'The gap between two sittings, in hours, must be at least 0; -1 came.',
    ],
    [
      'sessions.minimumGapHours',
      1441,
      'too-large',
      'The gap between two sittings, in hours, must be at most 1440; 1441 came.',
    ],
    ['sessions.minimumGapHours', 'a day', 'wrong-type', 'The gap between two sittings, in hours, must be a number.'],
    [
      'sessions.maximumSpanDays',
      367,
      'too-large',
      'The span from first to last sitting, in days, must be at most 366; 367 came.',
    ],
    ['sessions.missed', 'x', 'not-a-choice', 'The rule for a missed session must be one of: make-up, lost.'],
    ['checkIn.pain', 'pass', 'not-a-choice', 'The rule for pain in the ear must be one of: mark, postpone.'],
    ['checkIn.ringing', 'pass', 'not-a-choice', 'The rule for ringing in the ears must be one of: mark, postpone.'],
    ['checkIn.tiredness', 'x', 'not-a-choice', 'The rule for tiredness must be one of: pass, mark, postpone.'],
  ])('%s = %j: %s', (path, value, code, message) => {
    expect(problems(put(path, value))).toEqual([[path, code, message]]);
  });

  test.each([
    // Two gaps of 18 hours are a day and a half, and the sittings before them take their time, too.
    [3, 18, 1.6, []],
    [3, 18, 1.5, [['sessions.maximumSpanDays', 'too-short', expect.stringContaining('take 1.6 days at least')]]],
    // A gap that is as long as the span can't be kept by anybody.
    [2, 24, 1, [['sessions.maximumSpanDays', 'too-short', expect.stringContaining('take 1.1 days at least')]]],
    [12, 24, 10, [['sessions.maximumSpanDays', 'too-short', expect.stringContaining('take 11.1 days at least')]]],
    [3, 18, 0, []],
    [1, 1440, 1, []],
  ])('%d sittings, %d hours apart, in %d days', (sessions, gapHours, spanDays, found) => {
    expect(problems(() => {}, { sessions, gapHours, spanDays })).toEqual(found);
  });
});

describe('rules by which answers are left out', () => {
  test.each<[PlanWish['method'], unknown, string, string]>([
    ['abx', ['late'], 'not-this-method', 'Answers of this method can’t be marked “late”. Take that rule out.'],
    ['paired-preference', ['marked', 'short-rest'], 'not-this-method', 'Answers of this method can’t be marked'],
    ['abx', ['marked', 'marked'], 'repeated', 'The rule “marked” stands there twice. Once is enough.'],
    ['first-impressions', ['loud'], 'not-a-choice', 'Rule 1 by which answers are left out must be one of: marked,'],
    ['first-impressions', 'late', 'wrong-type', 'The rules by which answers are left out'],
  ])('%s: %j', (method, value, code, message) => {
    const [found] = problems(put('exclusions', value), { method: method ?? 'abx' });
    expect(found).toEqual([expect.stringMatching(/^exclusions/), code, expect.stringContaining(message)]);
  });

  test('those that fit the method are fine', () => {
    expect(problems(put('exclusions', ['marked', 'outside-listening']), { method: 'abx' })).toEqual([]);
    expect(problems(put('exclusions', [...exclusionRules]), { method: 'first-impressions' })).toEqual([]);
  });
});

describe('ABX', () => {
  const abx: PlanWish = { method: 'abx' };

  test.each<[string, unknown, string, string]>([
    ['method.spec.trials', undefined, 'missing', 'The number of trials of a sitting is missing.'],
    ['method.spec.trials', 0, 'too-small', 'The number of trials of a sitting must be at least 1; 0 came.'],
    ['method.spec.trials', 41, 'too-large', 'The number of trials of a sitting must be at most 40; 41 came.'],
    ['risks.smallest.value', 0, 'too-small', 'The smallest share of trials truly heard must be more than 0; 0 came.'],
    ['risks.smallest.value', 1, 'too-large', 'The smallest share of trials truly heard must be less than 1; 1 came.'],
    ['method.id', 'duel', 'not-a-choice', `The method must be one of: ${methodIds.join(', ')}.`],
  ])('%s = %j: %s', (path, value, code, message) => {
    expect(problems(put(path, value), abx)).toEqual([[path, code, message]]);
  });

  test('three prototypes', () => {
    expect(problems(() => {}, { ...abx, prototypes: 3 })).toEqual([
      ['prototypes', 'not-two', expect.stringContaining('ABX compares two prototypes, and this plan has 3.')],
    ]);
  });

  test.each<[string, unknown, string]>([
    ['aim', 'preference', 'aim'],
    ['risks.smallest', { kind: 'share', value: 0.75 }, 'risks.smallest.kind'],
    ['risks.sides', 'two-sided', 'risks.sides'],
    ['noPreference', { offered: true, rule: 'split' }, 'noPreference.offered'],
    ['controls', { hiddenRepeats: 1 }, 'controls.hiddenRepeats'],
    ['primary.scale', 'liking', 'primary.scale'],
    ['firstImpression', aPlan({ method: 'first-impressions' }).firstImpression, 'firstImpression.windowSeconds'],
  ])('%s = %j belongs to another method', (path, value, field) => {
    expect(problems(put(path, value), abx).map(([at, code]) => [at, code])).toEqual([[field, 'not-this-method']]);
  });

  test('the fields of another method are no spec of this one', () => {
    const found = problems((plan) => {
      plan.method.spec = { turns: 3 };
    }, abx);
    expect(found.map(([path, code]) => [path, code])).toEqual([
      ['method.spec.trials', 'missing'],
      ['method.spec.turns', 'unknown-field'],
    ]);
  });

  test('fresh carriers: three a trial, and three for practice', () => {
    // (6 + 1)·3 = 21 codes a listener: 33 listeners take 693 of 700.
    expect(problems(() => {}, { ...abx, audiences: [['home', 33]] })).toEqual([]);
    expect(problems(() => {}, { ...abx, audiences: [['home', 34]] })).toEqual([
      ['handling', 'too-many-codes', expect.stringContaining('714 codes')],
    ]);
  });
});

describe('first impressions', () => {
  const impressions: PlanWish = { method: 'first-impressions' };

  test.each<[string, unknown, string, string]>([
    [
      'firstImpression.windowSeconds',
      4,
      'too-small',
      'The window of a first impression, in seconds, must be at least 5; 4 came.',
    ],
    [
      'firstImpression.windowSeconds',
      16,
      'too-large',
      'The window of a first impression, in seconds, must be at most 15; 16 came.',
    ],
    [
      'firstImpression.windowSeconds',
      'ten',
      'wrong-type',
      'The window of a first impression, in seconds, must be a number.',
    ],
    [
      'firstImpression.windowSeconds',
      undefined,
      'missing',
      'The window of a first impression, in seconds, is missing.',
    ],
    [
      'firstImpression.answerSeconds',
      121,
      'too-large',
      'The time for rating after the window, in seconds, must be at most 120; 121 came.',
    ],
    [
      'firstImpression.reset.seconds',
      4,
      'too-small',
      'The rest before each sample, in seconds, must be at least 5; 4 came.',
    ],
    [
      'firstImpression.reset.kind',
      'x',
      'not-a-choice',
      'The rest before each sample must be one of: silence, neutral.',
    ],
    ['controls.hiddenRepeats', 9, 'too-large', 'The number of hidden repeats must be at most 8; 9 came.'],
    ['controls.hiddenRepeats', -1, 'too-small', 'The number of hidden repeats must be at least 0; -1 came.'],
    ['method.spec.scales', [], 'too-few', 'The list of scales must have at least 1 entry; it has 0.'],
    ['method.spec.scales', starterScales, 'too-many', 'The list of scales must have at most 6 entries; it has 7.'],
    ['method.spec.scales.1.low', '', 'missing', 'The word at the low end of scale 2 is missing.'],
    ['method.spec.scales.1.high', ' ', 'missing', 'The word at the high end of scale 2 is missing.'],
    ['method.spec.scales.0.name', '', 'missing', 'The name of scale 1 is missing.'],
    ['method.spec.scales.0.points', 10, 'too-large', 'The points of scale 1 must be at most 9; 10 came.'],
    ['method.spec.scales.0.points', 'many', 'wrong-type', 'The points of scale 1 must be a number.'],
    ['method.spec.scales.0.polarity', 'x', 'not-a-choice', 'The kind of scale 1 must be one of: unipolar, bipolar.'],
    [
      'risks.smallest.value',
      0,
      'too-small',
      'The smallest difference worth finding, in points, must be more than 0; 0 came.',
    ],
    [
      'risks.smallest.value',
      6,
      'too-large',
      'Liking has 7 points, so two prototypes differ by 6 at most. Take a smaller difference.',
    ],
    [
      'firstImpression.reset.item',
      'A cello',
      'not-this-method',
      'A rest in silence has no piece. Take the piece out, or choose a neutral one.',
    ],
    ['primary.scale', 'warmth', 'not-a-scale', 'The verdict needs one scale of this plan to rest on.'],
    ['primary.scale', undefined, 'not-a-scale', 'The verdict needs one scale of this plan to rest on.'],
    [
      'risks.sides',
      'one-sided',
      'not-this-method',
      'First impressions are two-sided: either prototype may turn out higher.',
    ],
  ])('%s = %j: %s', (path, value, code, message) => {
    expect(problems(put(path, value), impressions)).toEqual([[path, code, message]]);
  });

  test('a neutral piece needs its name', () => {
    const rest = (reset: object) => put('firstImpression.reset', reset);
    expect(problems(rest({ kind: 'neutral', seconds: 10 }), impressions)).toEqual([
      [
        'firstImpression.reset.item',
        'missing',
        'The neutral piece is missing. Name it, so that everybody hears the same.',
      ],
    ]);
    expect(problems(rest({ kind: 'neutral', seconds: 10, item: 'A cello' }), impressions)).toEqual([]);
  });

  test('a bipolar scale without a middle, and one name twice', () => {
    expect(problems(put('method.spec.scales.1.points', 6), impressions)).toEqual([
      ['method.spec.scales.1.points', 'no-middle', expect.stringContaining('take an odd number')],
    ]);
    expect(problems(put('method.spec.scales.1.name', 'LIKING'), impressions)).toEqual([
      ['method.spec.scales.1.name', 'repeated', expect.stringContaining('stands there twice')],
    ]);
  });

  test('more hidden repeats than prototypes, and no window at all', () => {
    expect(problems(put('controls.hiddenRepeats', 3), impressions)).toEqual([
      ['controls.hiddenRepeats', 'too-many', expect.stringContaining('at most 2 hidden repeats')],
    ]);
    expect(problems(put('firstImpression', undefined), impressions)).toEqual([
      ['firstImpression.windowSeconds', 'missing', 'The window of a first impression is missing.'],
    ]);
  });
});

describe('aims', () => {
  test('similarity by a method that can’t show it: which can is said', () => {
    for (const method of ['same-different', 'two-out-of-five'] as const) {
      expect(problems(put('aim', 'similarity'), { method })).toEqual([
        [
          'aim',
          'not-this-method',
          expect.stringMatching(/to find no difference is no proof of sameness\. These can: ABX, Triangle, /),
        ],
      ]);
    }
    expect(problems(put('aim', 'similarity'), { method: 'tetrad' })).toEqual([]);
  });

  test('another aim altogether', () => {
    expect(problems(put('aim', 'profile'), { method: 'triangle' })[0]?.[2]).toBe(
      'Triangle doesn’t answer “How do they differ?”. These do: First impressions, Several stimuli, Hidden reference and anchors, Small impairments, Absolute category rating, Comparison category rating, Attribute profile, Just about right, Check all that apply.',
    );
  });

  test('the direction is named by the method that has it', () => {
    expect(problems(put('risks.sides', 'two-sided'), { method: '3-afc' })[0]?.[2]).toBe(
      'Directional three (3-AFC) is one-sided: fewer right answers than guessing gives show nothing.',
    );
  });
});

describe('looks', () => {
  const looks = { kind: 'sequential', bounds: 'strict' };
  test.each<[string, PlanWish, string | null]>([
    ['ABX', { method: 'abx' }, null],
    ['a preference between two', {}, null],
    ['a preference among three', { prototypes: 3 }, 'With more than two prototypes'],
    ['a ranking', { method: 'ranking', prototypes: 3 }, 'Ranking is looked at once'],
    ['yes and no', { method: 'a-not-a' }, 'A or not A is looked at once'],
    ['sameness', { method: 'abx', aim: 'similarity' }, 'A study that is to show sameness'],
  ])('%s', (_what, wish, refused) => {
    expect(problems(put('looks', looks), wish)).toEqual(
      refused === null ? [] : [['looks.kind', 'not-this-method', expect.stringContaining(refused)]],
    );
  });
});

test('what is heard more often than not can’t be called the same', () => {
  const wish: PlanWish = { method: 'abx', aim: 'similarity', units: 2 };
  expect(problems(put('risks.smallest.value', 0.5), wish)).toEqual([]);
  expect(problems(put('risks.smallest.value', 0.6), wish)).toEqual([
    ['risks.smallest.value', 'out-of-range', expect.stringContaining('Take 0.5 or less')],
  ]);
});

describe('controls', () => {
  const known = { trials: 1, prototype: 'proto-c' };
  const two: PlanWish = { method: 'abx', prototypes: 3, units: 2 };

  test('what fits', () => {
    expect(problems(put('controls', { knownDifference: known, units: 2 }), two)).toEqual([]);
    expect(
      problems(put('controls', { knownDifference: known, identicalPairs: 1, hiddenRepeats: 1, units: 1 }), {
        prototypes: 3,
        units: 2,
      }),
    ).toEqual([]);
  });

  test.each<[string, Plan['controls'], PlanWish, string, string]>([
    [
      'none of the plan',
      { knownDifference: { trials: 1, prototype: 'x' } },
      {},
      'controls.knownDifference.prototype',
      'none of this plan',
    ],
    [
      'one of the pair',
      { knownDifference: { trials: 1, prototype: 'proto-b' } },
      { prototypes: 3 },
      'controls.knownDifference.prototype',
      'one of the two that are compared',
    ],
    [
      'not of this method',
      { identicalPairs: 1 },
      { method: 'abx' },
      'controls.identicalPairs',
      'Put two units of one prototype instead',
    ],
    ['one unit', { units: 1 }, { method: 'triangle', units: [2, 1] }, 'controls.units', 'one unit has: Prototype B'],
    ['no units at all', { units: 1 }, { playback: 'renders' }, 'controls.units', 'no units to put against each other'],
    [
      'a code that both bear',
      { identicalPairs: 1 },
      { handling: 'day-code' },
      'controls.identicalPairs',
      'both samples would bear one code',
    ],
    [
      'codes that come again',
      { hiddenRepeats: 1 },
      { handling: 'solo' },
      'controls.hiddenRepeats',
      'under its old codes',
    ],
    [
      'units that codes of the day would show to listeners',
      { units: 1 },
      { method: 'abx', units: 2, handling: 'day-code' },
      'controls.units',
      'would stand out by its code',
    ],
  ])('%s', (_what, controls, wish, path, words) => {
    expect(problems(put('controls', controls), wish).map(([at, , message]) => [at, message])).toEqual([
      [path, expect.stringContaining(words)],
    ]);
  });
});

test('an odd number of trials is refused where half of them are of each kind', () => {
  const plan = aPlan({ method: 'same-different', trials: 12 });
  const odd = { ...plan, method: { ...plan.method, spec: { ...(plan.method.spec as object), trials: 7 } } };
  expect(checkPlan(odd).problems.map(({ path, message }) => [path, message])).toEqual([
    [
      'method.spec.trials',
      'The number of trials of a sitting must be an even number, since half of the trials are of each kind; 7 came.',
    ],
  ]);
});
