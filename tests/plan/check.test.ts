import { describe, expect, test } from 'vitest';
import { checkPlan } from '../../server/plan/check';
import type { Plan } from '../../shared/plan';
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
    ['risks.alpha', 0, 'too-small', 'The risk of a false find (α) must be more than 0; 0 came.'],
    ['risks.alpha', 0.21, 'too-large', 'The risk of a false find (α) must be at most 0.2; 0.21 came.'],
    ['risks.beta', 0.51, 'too-large', 'The risk of missing it (β) must be at most 0.5; 0.51 came.'],
    ['risks.smallest.value', 0.5, 'too-small', 'The smallest share worth finding must be more than 0.5; 0.5 came.'],
    ['risks.smallest.value', 1, 'too-large', 'The smallest share worth finding must be less than 1; 1 came.'],
    ['risks.sides', 'three', 'not-a-choice', 'The direction must be one of: two-sided, one-sided.'],
    ['handling', '', 'missing', 'Who loads and who hands over is missing.'],
    ['handling', 'mine', 'not-a-choice', 'Who loads and who hands over must be one of: two-person, day-code, solo.'],
    [
      'playback',
      'x',
      'not-a-choice',
      'Where the programme comes from must be one of: bench-player, seat-device, none.',
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
    expect(problems(() => {}, { prototypes: 3, audiences: [['home', 88]], handling: 'day-code' })).toEqual([]);
  });
});
