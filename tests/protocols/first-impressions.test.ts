import { describe, expect, test } from 'vitest';
import { type FirstImpressionsSpec, firstImpressions } from '../../protocols/first-impressions';
import type { ScalesForm } from '../../protocols/form';
import type { TrialDesign, TrialPast, Truth } from '../../protocols/protocol';
import { randomnessOf } from '../../server/blinding/randomness';
import type { AudienceId, PrototypeId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { type Scale, scaleValues } from '../../shared/scales';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish, starter } from '../blinding/a-plan';
import { designsOf } from './whole-study';

const planOf = (wish: PlanWish = {}) => aPlan({ method: 'first-impressions', ...wish });
const specOf = (plan: Plan) => plan.method.spec as FirstImpressionsSpec;
const problems = (plan: Plan) => firstImpressions.problems(specOf(plan), plan);
const formOf = (plan: Plan) => firstImpressions.form(specOf(plan), plan) as ScalesForm;
const own = (id: string, points: number, polarity: Scale['polarity'] = 'unipolar'): Scale => ({
  id,
  name: `Scale ${id}`,
  low: 'little',
  high: 'much',
  polarity,
  points,
});
const randomness = (seed = 1) => randomnessOf(Buffer.alloc(32, seed), 1);
const seat = (ordinal: number, sitting = 1) => ({ audience: 'home' as AudienceId, ordinal, sitting });
const sitting = (plan: Plan, ordinal: number, number = 1, seed = 1) =>
  designsOf(plan, seat(ordinal, number), randomness(seed));

describe('what stands against a plan, with the path of its field', () => {
  test('nothing, for a sound one', () => {
    expect(problems(planOf())).toEqual([]);
    expect(problems(planOf({ hiddenRepeats: 2, scales: [own('x', 9), own('y', 3, 'bipolar')] }))).toEqual([]);
  });

  test.each<[what: string, wish: PlanWish, path: string, code: string]>([
    [
      'an even number of bipolar points',
      { scales: ['liking', own('y', 6, 'bipolar')] },
      'method.spec.scales.1.points',
      'no-middle',
    ],
    [
      'a name that stands there twice',
      { scales: [own('x', 5), { ...own('y', 5), name: 'SCALE X' }] },
      'method.spec.scales.1.name',
      'repeated',
    ],
    [
      'an id that stands there twice',
      { scales: [own('x', 5), { ...own('x', 5), name: 'Y' }] },
      'method.spec.scales.1.id',
      'repeated',
    ],
    [
      'the same word at both ends',
      { scales: [{ ...own('x', 5), high: 'Little' }] },
      'method.spec.scales.0.high',
      'same-ends',
    ],
    [
      'the same word at both ends, with a sign that can’t be seen',
      { scales: [{ ...own('x', 5), high: 'lit\u200btle' }] },
      'method.spec.scales.0.high',
      'same-ends',
    ],
    [
      'an end that can’t be seen',
      { scales: [{ ...own('x', 5), low: '\u200b\u3164' }] },
      'method.spec.scales.0.low',
      'missing',
    ],
    ['a primary scale that isn’t there', { scale: 'warmth' }, 'primary.scale', 'not-a-scale'],
    ['more hidden repeats than prototypes', { hiddenRepeats: 3 }, 'controls.hiddenRepeats', 'too-many'],
    [
      'a smallest difference off the scale',
      { scales: [own('x', 3)], risks: { smallest: { kind: 'points', value: 2.5 } } },
      'risks.smallest.value',
      'too-large',
    ],
    ...(['day-code', 'solo'] as const).map((handling): [string, PlanWish, string, string] => [
      `a repeat that everybody can read from its code (${handling})`,
      { hiddenRepeats: 1, handling },
      'controls.hiddenRepeats',
      'not-hidden',
    ]),
  ])('%s', (_what, wish, path, code) => {
    const found = problems(planOf(wish));
    expect(found.map((problem) => [problem.path, problem.code])).toEqual([[path, code]]);
    expect(found[0]?.message).toMatch(/\.$/);
  });

  test('no primary scale, no window', () => {
    const plan = planOf();
    const { scale: _scale, ...primary } = plan.primary;
    const { firstImpression: _window, ...rest } = plan;
    expect(problems({ ...rest, primary }).map(({ path }) => path)).toEqual([
      'firstImpression.windowSeconds',
      'primary.scale',
    ]);
    expect(() => firstImpressions.form(specOf(plan), rest)).toThrow('window');
  });

  test('a smallest difference from end to end could hardly be found, and just below it is a plan', () => {
    const found = (value: number) =>
      problems(planOf({ scales: [own('x', 3)], risks: { smallest: { kind: 'points', value } } })).map(
        ({ code }) => code,
      );
    expect([found(2), found(1.9)]).toEqual([['too-large'], []]);
  });
});

test.each<[what: string, scales: unknown[], path: string]>([
  ['seven scales', Array.from({ length: 7 }, (_, i) => own(`x${i}`, 5)), 'scales'],
  ['none', [], 'scales'],
  ['no word at the low end', [{ ...own('x', 5), low: ' ' }], 'scales.0.low'],
  ['no word at the high end', [own('x', 5), { ...own('y', 5), high: undefined }], 'scales.1.high'],
  ['two points', [own('x', 2)], 'scales.0.points'],
  ['ten points', [own('x', 10)], 'scales.0.points'],
  ['an id that no form could send', [{ ...own('x', 5), id: 'Ä' }], 'scales.0.id'],
  ['a start value', [{ ...own('x', 5), start: 3 }], 'scales.0'],
])('the spec refuses %s', (_what, scales, path) => {
  const issues = firstImpressions.spec.safeParse({ scales }).error?.issues.map((issue) => issue.path.join('.'));
  expect(issues).toEqual([path]);
});

test('six scales are taken, and any with the fewest and the most points', () => {
  const scales = [own('a', 3), own('b', 9), own('c', 4), own('d', 3, 'bipolar'), own('e', 9, 'bipolar'), own('f', 5)];
  expect(firstImpressions.spec.safeParse({ scales }).success).toBe(true);
});

describe('trials', () => {
  const plan = planOf({ prototypes: 3, hiddenRepeats: 2, scales: ['liking', 'brightness', 'warmth', 'bass'] });

  test('practice has no sample; then one sample a trial', () => {
    const designs = sitting(plan, 1);
    expect(designs[0]).toMatchObject({ ordinal: 0, practice: true, presentations: [] });
    expect(designs.slice(1).map(({ presentations }) => presentations.length)).toEqual([1, 1, 1, 1, 1]);
    expect(firstImpressions.trials(specOf(plan), plan)).toBe(5);
    expect(firstImpressions.practicePresentations(specOf(plan))).toBe(0);
  });

  test('a listener meets the scales in one order throughout, practice and later sittings too; others in other orders', () => {
    const orders = Array.from({ length: 12 }, (_, i) => {
      const shown = [1, 2, 3].flatMap((number) => sitting(plan, i + 1, number).map((design) => design.shown.join()));
      expect(new Set(shown).size).toBe(1);
      return shown[0];
    });
    expect(new Set(orders).size).toBeGreaterThan(6);
  });

  test('samples come in another order in the next sitting', () => {
    const first = (number: number) =>
      sitting(plan, 4, number)
        .slice(1, 4)
        .map(({ presentations }) => presentations[0]);
    for (const number of [2, 3, 4]) expect(first(number)).not.toEqual(first(number - 1));
  });

  test('spoilt trials are put again at the end, if it can be not one of the sample that came last', () => {
    for (let ordinal = 1; ordinal <= 12; ordinal++) {
      const designs = sitting(plan, ordinal);
      const last = designs.at(-1)?.presentations[0];
      const same = designs.find(({ presentations }) => presentations[0] === last) as TrialDesign;
      const other = designs.findLast(
        ({ presentations, practice }) => !practice && presentations[0] !== last,
      ) as TrialDesign;
      const history = designs.map(
        (design): TrialPast => ({ design, state: [same, other].includes(design) ? 'void' : 'answered' }),
      );
      const next = () => firstImpressions.next(specOf(plan), plan, seat(ordinal), history, randomness());
      const again = next();
      expect(again).toMatchObject({
        ordinal: 6,
        replaces: other.ordinal,
        presentations: other.presentations,
        shown: other.shown,
      });
      history.push({ design: again as TrialDesign, state: 'answered' });
      expect(next()).toMatchObject({ ordinal: 7, replaces: same.ordinal });
      history.push({ design: next() as TrialDesign, state: 'answered' });
      expect(next()).toBe('done');
    }
  });

  test('the only spoilt trial comes again, whatever came last', () => {
    const history = sitting(plan, 1).map(
      (design): TrialPast => ({ design, state: design.ordinal === 5 ? 'void' : 'answered' }),
    );
    expect(firstImpressions.next(specOf(plan), plan, seat(1), history, randomness())).toMatchObject({ replaces: 5 });
  });
});

describe('late is what was touched first after window and time for answering', () => {
  const plan = planOf({ scales: ['liking'], firstImpression: { windowSeconds: 7, answerSeconds: 12 } });
  const score = (touchedMs: number | null, practice = false) => {
    const design = { ordinal: 1, practice, presentations: ['proto-a' as PrototypeId], shown: [0], replaces: null };
    return firstImpressions.score(formOf(plan), design, { ratings: [{ scale: 'liking', value: 2, touchedMs }] }, plan);
  };

  test.each([
    [0, false],
    [18_999.9, false],
    [19_000, false],
    [19_000.1, true],
    [80_000, true],
    [null, false],
  ])('touched after %s ms: %s', (touchedMs, late) => {
    expect(score(touchedMs)).toEqual([{ scale: 'liking', value: 2, late }]);
  });

  test('never in practice', () => {
    expect(score(80_000, true)).toEqual([{ scale: 'liking', value: 2, late: false }]);
  });
});

describe('read', () => {
  const plan = planOf({ scales: ['liking', 'bass'] });
  const read = (...ratings: [string, number][]) =>
    firstImpressions.read(formOf(plan), ['417'], {
      ratings: ratings.map(([scale, value]) => ({ scale, value, touchedMs: 5 })),
    });

  test('every value of every scale, in whatever order the scales come', () => {
    for (const liking of scaleValues(starter('liking'))) {
      for (const bass of scaleValues(starter('bass'))) {
        const values = read(['bass', bass], ['liking', liking])?.ratings.map(({ value }) => value);
        expect(values).toEqual([liking, bass]);
      }
    }
    expect(scaleValues(starter('liking'))).toEqual([-3, -2, -1, 0, 1, 2, 3]);
  });

  test('minus nothing is nothing', () => {
    expect(Object.is(read(['bass', 1], ['liking', -0])?.ratings[0]?.value, 0)).toBe(true);
  });
});

describe('a virtual listener', () => {
  const truth: Truth = { ratings: { liking: { 'proto-a': 1, 'proto-b': -1 } } };
  const plan = planOf({ scales: ['liking', 'bass'], sessions: 3 });
  const answers = (given: Truth, letter: 'a' | 'b', number = 1, count = 2000, each = true) => {
    const random = seededRandom('virtual');
    const form = formOf(plan);
    const design = {
      ordinal: 1,
      practice: false,
      presentations: [`proto-${letter}` as PrototypeId],
      shown: [0, 1],
      replaces: null,
    };
    const one = firstImpressions.listener(given, plan, random);
    return Array.from({ length: count }, () => {
      const listener = each ? firstImpressions.listener(given, plan, random) : one;
      return firstImpressions.simulate(given, listener, { design, form, sitting: number }, random).ratings;
    });
  };
  const moments = (ratings: ReturnType<typeof answers>, place = 0) => {
    const values = ratings.map((own) => own[place]?.value ?? Number.NaN);
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    return { mean, variance: values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1) };
  };

  test('without spread says what is planted, and the middle of other scales', () => {
    expect(answers(truth, 'a', 1, 3).map((own) => own.map(({ value }) => value))).toEqual([
      [1, 4],
      [1, 4],
      [1, 4],
    ]);
    expect(answers({ ...truth, driftPerSession: 1 }, 'b', 3, 1)[0]?.map(({ value }) => value)).toEqual([1, 6]);
  });

  test('spreads add up, and whole points add a twelfth (Sheppard 1898)', () => {
    const spread = { listenerSd: 0.5, interactionSd: 0.5, sessionSd: 0.5, residualSd: 0.5 };
    const { mean, variance } = moments(answers(spread, 'a'));
    expect(Math.abs(mean)).toBeLessThan(0.1);
    expect(Math.abs(variance - (1 + 1 / 12))).toBeLessThan(0.12);
  });

  test('one and the same listener varies by the residual only', () => {
    const { variance } = moments(
      answers({ listenerSd: 1, interactionSd: 1, sessionSd: 1, residualSd: 0.6 }, 'a', 2, 2000, false),
      1,
    );
    expect(variance).toBeLessThan(0.36 + 1 / 12 + 0.05);
  });

  test('stays on the scale and in time, practice without a sample included', () => {
    const random = seededRandom(3);
    const practice = { ordinal: 0, practice: true, presentations: [], shown: [0, 1], replaces: null };
    const wild = { residualSd: 9 };
    const listener = firstImpressions.listener(wild, plan, random);
    const form = formOf(plan);
    for (let i = 0; i < 200; i++) {
      const answer = firstImpressions.simulate(wild, listener, { design: practice, form, sitting: 1 }, random);
      expect(firstImpressions.read(form, [], answer)).toEqual(answer);
      for (const { touchedMs } of answer.ratings) expect(touchedMs).toBeLessThan(10_000);
    }
  });
});
