import { describe, expect, test } from 'vitest';
import { checkPlan } from '../../server/plan/check';
import { type Plan, playbacks } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';

/** The problems of a plan after a change, as path and words. */
function problems(wish: PlanWish, change: (plan: Plan) => unknown): [path: string, message: string][] {
  const plan = structuredClone(aPlan(wish));
  change(plan);
  return checkPlan(plan).problems.map(({ path, message }) => [path, message]);
}
const renders: PlanWish = { playback: 'renders', prototypes: 3, excerpts: 2 };
const seated: PlanWish = { playback: 'seat-player', prototypes: 3, excerpts: 2 };
const change =
  (more: Partial<Plan>) =>
  (plan: Plan): unknown =>
    Object.assign(plan, more);

test('every playback with every method has a plan without fault', () => {
  for (const playback of playbacks) {
    for (const method of ['paired-preference', 'triangle', 'ranking', 'first-impressions'] as const) {
      const plan = aPlan({ playback, method, prototypes: 3 - (method === 'triangle' ? 1 : 0), excerpts: 2 });
      expect(checkPlan(plan)).toEqual({ plan, problems: [] });
    }
  }
});

describe('renders and the server belong together', () => {
  test('renders that somebody would hand over', () => {
    expect(problems(renders, change({ handling: 'two-person' }))).toEqual([
      ['handling', expect.stringContaining('Take the handling “server”')],
    ]);
  });

  test('units that nobody hands over', () => {
    for (const playback of ['bench-player', 'seat-device', 'none', 'seat-player'] as const) {
      expect(problems({ playback }, change({ handling: 'server' }))).toEqual([
        ['playback', expect.stringContaining('Choose who loads and who hands over')],
      ]);
    }
  });

  test('a tip that would belong to a prototype', () => {
    expect(problems(renders, change({ tips: 'tip-is-prototype' }))).toEqual([
      ['tips', expect.stringContaining('Take own tips')],
    ]);
  });

  test('units of a render, and a prototype that is handed over and has none', () => {
    const unit = { id: 'unit-x', serial: 'X-1' };
    expect(problems(renders, ({ prototypes }) => prototypes[1]?.units.push(unit))).toEqual([
      ['prototypes.1.units', expect.stringMatching(/^Prototype B has units/)],
    ]);
    for (const wish of [{ ...seated }, { prototypes: 3 }]) {
      expect(problems(wish, ({ prototypes }) => prototypes[1]?.units.pop())).toEqual([
        ['prototypes.1.units', expect.stringMatching(/^Prototype B has no unit/)],
      ]);
    }
  });

  test('seconds of swapping and fitting: none with renders, five at least otherwise', () => {
    expect(problems(renders, ({ timing }) => Object.assign(timing, { swap: 5 }))).toEqual([
      ['timing.swap', 'The seconds of swapping must be 0: of renders nothing is swapped or fitted anew.'],
    ]);
    expect(problems(seated, ({ timing }) => Object.assign(timing, { fit: 4 }))).toEqual([
      ['timing.fit', 'The seconds for fit and seal must be at least 5; 4 came.'],
    ]);
  });
});

describe('excerpts and the rules for sound', () => {
  test('none where the page plays', () => {
    for (const wish of [renders, seated]) {
      expect(problems(wish, change({ excerpts: [] }))).toEqual([
        ['excerpts', expect.stringContaining('Add at least one')],
      ]);
    }
  });

  test('some where it plays nothing', () => {
    expect(problems({}, change({ excerpts: [{ id: 'e', name: 'Cello' }] }))).toEqual([
      ['excerpts', expect.stringContaining('Take them out, or let the page play')],
    ]);
    expect(problems({}, change({ sound: aPlan(renders).sound }))).toEqual([
      ['sound', expect.stringContaining('Take them out')],
    ]);
  });

  test('no rules where it plays', () => {
    expect(
      problems(renders, (plan) => {
        delete plan.sound;
      }),
    ).toEqual([['sound', expect.stringContaining('is missing')]]);
  });

  test('names that read the same, or like a code, and ids that stand there twice', () => {
    const second = (more: Partial<Plan['excerpts'][number]>) => (plan: Plan) =>
      Object.assign(plan.excerpts[1] as object, more);
    expect(problems(renders, second({ name: 'excerpt a' }))).toEqual([
      ['excerpts.1.name', 'The excerpt “excerpt a” stands there twice. Give each its own.'],
    ]);
    expect(problems(renders, second({ name: '417' }))).toEqual([
      ['excerpts.1.name', expect.stringContaining('reads like the code of a carrier')],
    ]);
    expect(problems(renders, second({ id: 'proto-a' }))).toEqual([
      ['prototypes', expect.stringContaining('proto-a stands there twice')],
    ]);
  });

  test.each<[low: number, high: number, path: string | null, says: string]>([
    [1000, 1260, null, ''],
    [300, 3000, null, ''],
    [1000, 1259, 'sound.match.high', 'from 1000 Hz to 1260 Hz or more'],
    [1000, 500, 'sound.match.high', 'from 1000 Hz to 1260 Hz or more'],
    [19_000, 20_000, 'sound.match.low', 'Begin at 15873 Hz or lower'],
  ])('a band from %d to %d Hz', (low, high, path, says) => {
    const found = problems({ ...renders, sound: { match: { kind: 'band', low, high } } }, () => undefined);
    expect(found).toEqual(path === null ? [] : [[path, expect.stringContaining(says)]]);
  });

  test('a band beyond what ears hear', () => {
    const match = { kind: 'band', low: 5, high: 30_000 } as const;
    expect(problems(renders, ({ sound }) => Object.assign(sound as object, { match }))).toEqual([
      ['sound.match.low', 'The low end of the band, in hertz, must be at least 20; 5 came.'],
      ['sound.match.high', 'The high end of the band, in hertz, must be at most 20000; 30000 came.'],
    ]);
  });

  test('days of levels where there is nothing to measure', () => {
    for (const playback of ['renders', 'none'] as const) {
      expect(problems({ playback }, change({ levels: { staleDays: 7 } }))).toEqual([
        ['levels.staleDays', expect.stringContaining('Take the days out')],
      ]);
    }
  });

  test('a rule for interrupted answers where nothing could be interrupted', () => {
    const rule = change({ exclusions: ['interrupted'] });
    expect(problems(renders, rule)).toEqual([]);
    expect(problems({}, rule)).toEqual([['exclusions', expect.stringContaining('can’t be marked “interrupted”')]]);
  });
});

test('renders need a fresh code for every sample: of too many it isn’t said to take day codes', () => {
  const panel: PlanWish = { ...renders, repeats: 5, audiences: [['home', 40]] };
  const [[path, message] = ['', '']] = problems(panel, () => undefined);
  expect(path).toBe('playback');
  expect(message).not.toContain('day codes');
});
