import { describe, expect, test } from 'vitest';
import { checkAll } from '../../protocols/check-all';
import { tickedPower, tickedSize } from '../../protocols/check-all-power';
import { methodOf } from '../../protocols/index';
import type { Outcome, TrialDesign, Truth } from '../../protocols/protocol';
import { exchanged } from '../../protocols/ticked-words';
import type { AudienceId, ListenerId, SessionId, SittingId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { cochranQ } from '../../stats/cochran-q';
import { mcnemar } from '../../stats/mcnemar';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import references from '../references/cochran-q.json';
import { panel, rated } from './rated';
import { outcomeOf } from './simulated-impressions';
import { designsOf, quickRandomness } from './whole-study';

const planOf = (wish: PlanWish = {}) => aPlan({ method: 'check-all', ...wish });
const ticked = (lines: readonly string[], scale = 'warm', audience = 'home') => panel(lines, audience, scale);
const times = (count: number, line: string) => Array<string>(count).fill(line);
const only = (outcomes: Outcome[], plan = planOf()) => {
  const [result] = checkAll.analyse(outcomes, plan).results;
  if (!result) throw new Error('no result');
  return result;
};

describe('Cochran’s Q over all prototypes', () => {
  test('three forecasters of twelve games, Q = 2.8 (Conover 1999, Practical Nonparametric Statistics, section 4.6)', () => {
    const games = ['111', '111', '010', '110', '000', '111', '111', '110', '001', '010', '111', '111'];
    const lines = games.map((game) => `a${game[0]} b${game[1]} c${game[2]}`);
    const { ratings } = only(ticked(lines), planOf({ prototypes: 3 }));
    const [warm] = ratings?.ticked ?? [];
    expect(warm).toMatchObject({ attribute: 'warm', primary: true, listeners: 12 });
    expect(warm?.q?.q).toBeCloseTo(2.8, 12);
    expect(warm?.q?.degreesOfFreedom).toBe(2);
    // By R, as in tests/references/cochran-q.json.
    expect(warm?.q?.p).toBeCloseTo(0.246596963941606, 12);
    expect(warm?.shares.map(({ value }) => Math.round(value * 12))).toEqual([8, 10, 7]);
  });

  test('of one time each it is `cochranQ`, of which R knows these', () => {
    for (const { inputs } of references) {
      const { q, degreesOfFreedom, p } = cochranQ(inputs);
      const own = exchanged(inputs.answers);
      expect(own?.q).toBeCloseTo(q, 10);
      expect(own).toMatchObject({ degreesOfFreedom });
      expect(own?.p).toBeCloseTo(p, 12);
    }
  });

  test('who answers the same in every round says no more and no less than once', () => {
    const lines = ['a1 b0 c1', 'a1 b0 c0', 'a0 b0 c1', 'a1 b1 c0'];
    const again = lines.map((line) => `${line} ${line} | ${line}`);
    const q = (of: string[]) => only(ticked(of), planOf({ prototypes: 3 })).ratings?.ticked?.[0]?.q;
    expect(q(again)).toEqual(q(lines));
  });

  test('where nobody tells them apart there is none', () => {
    expect(
      exchanged([
        [1, 1, 1],
        [0, 0, 0],
      ]),
    ).toBeNull();
    expect(only(ticked(times(8, 'a1 b1'))).ratings?.ticked?.[0]).toMatchObject({ q: null, listeners: 8 });
  });

  test('who left a prototype out stands in its pairs, and in no share', () => {
    const [warm] = only(ticked(['a1 b0 c1', 'a1 b0']), planOf({ prototypes: 3 })).ratings?.ticked ?? [];
    expect(warm?.listeners).toBe(1);
    expect(warm?.pairs[0]?.difference?.value).toBe(1);
  });
});

describe('the verdict', () => {
  test('exact McNemar of the primary pair on the primary word, whatever else was ticked', () => {
    const outcomes = [
      ...ticked([...times(14, 'a0 b1'), ...times(5, 'a1 b0'), ...times(3, 'a1 b1')]),
      ...ticked(times(22, 'a1 b0'), 'bright'),
    ];
    const result = only(outcomes);
    expect(result.p).toBeCloseTo(mcnemar({ b: 5, c: 14 }).p, 12);
    expect(result).toMatchObject({ verdict: 'undecided', preferred: null, ratings: { ratings: 88, late: 0 } });
    expect(result.estimate).toMatchObject({ name: 'ticked', level: 0.95 });
    expect(result.estimate?.value).toBeCloseTo(-9 / 22, 12);
    expect(result.alsoPossible).toEqual({ lower: result.estimate?.lower, upper: result.estimate?.upper });
    expect(result.wouldSettle).toEqual({ listeners: tickedSize(0.3, 1, 0.05, 0.2) });
    expect(result.power).toBe(tickedPower(22, 0.3, 1, 0.05));
  });

  test('names the one that it was ticked for more often', () => {
    expect(only(ticked(times(7, 'a0 b1')))).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-b' });
    expect(only(ticked(times(7, 'a1 b0')))).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-a' });
  });

  test('five listeners of one mind are not enough, and six are, in one audience; with two of them eight are not', () => {
    expect(only(ticked(times(5, 'a1 b0'))).verdict).toBe('not-enough-data');
    expect(only(ticked(times(6, 'a1 b0'))).verdict).toBe('difference-shown');
    const two = planOf({
      audiences: [
        ['home', 6],
        ['stage', 20],
      ],
    });
    const outcomes = [...ticked(times(6, 'a1 b0')), ...ticked(times(20, 'a1 b1'), 'warm', 'stage')];
    const { results, interaction } = checkAll.analyse(outcomes, two);
    expect(results.map(({ verdict }) => verdict)).toEqual(['not-enough-data', 'not-separated']);
    expect(interaction).toMatchObject({ of: 'ticked' });
  });

  test('corrected over audiences, by Holm', () => {
    const two = planOf({
      audiences: [
        ['home', 9],
        ['stage', 9],
      ],
    });
    const outcomes = [...ticked([...times(8, 'a1 b0'), 'a0 b1']), ...ticked(times(9, 'a1 b0'), 'warm', 'stage')];
    const [home, stage] = checkAll.analyse(outcomes, two).results;
    expect(stage?.pAdjusted).toBeCloseTo(2 * mcnemar({ b: 9, c: 0 }).p, 12);
    expect(home?.pAdjusted).toBeCloseTo(mcnemar({ b: 8, c: 1 }).p, 12);
  });

  test('all other pairs and words, and the pairs of liking, are a family of their own', () => {
    const plan = planOf({ prototypes: 3, attributes: ['warm', 'bright'], liked: true });
    const lines = times(9, 'a1 b0 c0');
    const turns = ['a3 b0 c1', 'a2 b0 c1', 'a2 b-1 c1'];
    const liking = times(9, '').map((_, i) => turns[i % 3] as string);
    const result = only([...ticked(lines), ...ticked(lines, 'bright'), ...ticked(liking, 'liking')], plan);
    const [warm, bright] = result.ratings?.ticked ?? [];
    const p = mcnemar({ b: 9, c: 0 }).p;
    expect(warm?.pairs[0]?.pAdjusted).toBeCloseTo(p, 12);
    // Two pairs of warm, three of bright, three of liking. Four have the p of nine alike, two have 1, liking is surer.
    const family = [...(warm?.pairs.slice(1) ?? []), ...(bright?.pairs ?? [])];
    expect(family.map((pair) => pair.p)).toEqual([p, 1, p, p, 1].map((one) => expect.closeTo(one, 12)));
    const [first] = [...(result.ratings?.scales[0]?.pairs ?? [])].map((pair) => pair.p ?? 9).sort((a, b) => a - b);
    expect(first).toBeLessThan(p);
    const corrected = family.filter((pair) => (pair.p ?? 1) < 0.5).map((pair) => pair.pAdjusted);
    const surer = result.ratings?.scales[0]?.pairs.filter((pair) => (pair.p ?? 9) < p).length ?? 0;
    expect(corrected).toEqual(times(3, '').map(() => expect.closeTo((8 - surer) * p, 12)));
  });

  test('several times each: the permutation over listeners’ differences, not over answers', () => {
    const plan = planOf({ rounds: 3 });
    const { p, verdict } = only(ticked(times(4, 'a1 b0 a1 b0 a1 b0')), plan);
    expect(p).toBe(2 / 16);
    expect(verdict).toBe('not-enough-data');
  });

  test('exchanging the names of the pair turns the estimate and nothing else', () => {
    const lines = ['a1 b0', 'a1 b0', 'a1 b1', 'a0 b1', 'a1 b0', 'a1 b0', 'a1 b0', 'a0 b0'];
    const one = only(ticked(lines));
    const other = only(ticked(lines.map((line) => line.replace('a', 'x').replace('b', 'a').replace('x', 'b'))));
    expect(other.p).toBe(one.p);
    expect(other.verdict).toBe(one.verdict);
    expect(other.estimate?.value).toBe(-(one.estimate?.value ?? 9));
    expect(other.estimate?.lower).toBeCloseTo(-(one.estimate?.upper ?? 9), 12);
  });

  test('the verdict alone: the same, without words, power and interaction', () => {
    const outcomes = ticked([...times(9, 'a1 b0'), 'a0 b1']);
    const bare = checkAll.analyse(outcomes, planOf(), { verdictOnly: true });
    const whole = checkAll.analyse(outcomes, planOf());
    const [one, other] = [bare.results[0], whole.results[0]];
    expect(one).toMatchObject({ verdict: other?.verdict, p: other?.p, pAdjusted: other?.pAdjusted });
    expect(one?.estimate).toEqual(other?.estimate);
    expect(one?.ratings?.ticked).toEqual([]);
  });

  test('warnings', () => {
    const { warnings } = only(ticked(['a1 b0', 'a1 b0', 'a1']), planOf({ units: [1, 2] }));
    expect(warnings).toEqual(['fewer-listeners:3:8', 'these-units-only:1:2', 'listeners-incomplete:1', 'one-session']);
  });
});

describe('heard again', () => {
  test('how often the answer about a word was the same, in one sitting and on another day', () => {
    // In one sitting: a 1 1 and b 0 1, then a 0 0 1: two of four. By the first of each sitting: a 1 to 0, b 0 to 0: one of two.
    const [warm] = only(ticked(['a1 b0 a1 b1 | a0 b0 a0 a1'])).ratings?.ticked ?? [];
    expect(warm?.again).toEqual({ withinDay: { times: 4, alike: 2 }, acrossDays: { times: 2, alike: 1 } });
    const [once] = only(ticked(['a1 b0', 'a1 b0'])).ratings?.ticked ?? [];
    expect(once).not.toHaveProperty('again');
    const [days] = only(ticked(['a1 b0 | a1'])).ratings?.ticked ?? [];
    expect(days?.again).toEqual({ withinDay: null, acrossDays: { times: 1, alike: 1 } });
  });
});

test('a pair of liking has a model of its own: a third at the end of the scale makes it no surer', () => {
  const plan = planOf({ prototypes: 3, liked: true });
  const liking = (third: (i: number) => number) =>
    ['a3 b1', 'a1 b2', 'a2 b0', 'a0 b1', 'a3 b2', 'a1 b-1'].map((line, i) => `${line} c${third(i)}`);
  const of = (lines: string[]) =>
    only([...ticked(times(6, 'a1 b0 c0')), ...ticked(lines, 'liking')], plan).ratings?.scales[0]?.pairs[0];
  expect(of(liking((i) => i % 3))?.p).toEqual(expect.any(Number));
  expect(of(liking(() => 3))?.p).toBe(of(liking((i) => i % 3))?.p);
});

describe('what goes with liking, within listeners', () => {
  const plan = planOf({ prototypes: 3, liked: true });
  const line = (listener: string, liking: string, warm: string) => [
    ...rated(listener, liking, 'home', 'liking'),
    ...rated(listener, warm, 'home', 'warm'),
  ];

  test('liking where it was ticked less liking where it wasn’t; who ticked always or never has none', () => {
    const outcomes = [
      // 3 less the mean of 1 and 0: 2.5.
      ...line('home-1', 'a3 b1 c0', 'a1 b0 c0'),
      // The mean of 2 and 3, less 0: 2.5.
      ...line('home-2', 'a2 b3 c0', 'a1 b1 c0'),
      // −1 less 2: −3, against all others.
      ...line('home-3', 'a-1 b2 c2', 'a1 b0 c0'),
      ...line('home-4', 'a3 b3 c3', 'a1 b1 c1'),
      ...line('home-5', 'a-3 b-3 c-3', 'a0 b0 c0'),
    ];
    const [warm] = only(outcomes, plan).ratings?.ticked ?? [];
    expect(warm?.liking).toMatchObject({ listeners: 3 });
    expect(warm?.liking?.difference).toMatchObject({ name: 'points', value: expect.closeTo(2 / 3, 12) });
  });

  test('none where liking wasn’t asked', () => {
    expect(only(ticked(times(6, 'a1 b0'))).ratings).toMatchObject({ scales: [], ticked: [{ liking: null }, {}, {}] });
  });
});

describe('studies of virtual listeners', () => {
  /** All hear in the order that the first listener is drawn: a tick hangs on no place. */
  const study = (plan: Plan, truth: Truth, seed: string): Outcome[] => {
    const random = seededRandom(seed);
    const { protocol, form } = methodOf(plan);
    const designs = drawnOnce(plan);
    return plan.audiences.flatMap(({ id, listeners }) =>
      Array.from({ length: listeners }, (_, n) => {
        const listener = protocol.listener(truth, plan, random);
        const where = {
          listener: `${id}-${n + 1}` as ListenerId,
          audience: id as AudienceId,
          session: 'SE1' as SessionId,
          sessionNumber: 1,
          sitting: `${id}-${n + 1} in 1` as SittingId,
          sittingNumber: 1,
        };
        return designs.flatMap((design) => {
          const answer = protocol.simulate(truth, listener, { design, form, sitting: 1 }, random);
          return protocol.score(form, design, answer, plan).map((scored) => outcomeOf(where, design, scored));
        });
      }).flat(),
    );
  };
  const known = new Map<Plan, TrialDesign[]>();
  const drawnOnce = (plan: Plan) => {
    const seat = { audience: 'home' as AudienceId, ordinal: 1, sitting: 1 };
    const designs = known.get(plan) ?? designsOf(plan, seat, quickRandomness('draw')).slice(1);
    known.set(plan, designs);
    return designs;
  };
  const found = (studies: number, plan: Plan, truth: Truth) => {
    const results = Array.from({ length: studies }, (_, i) => {
      return checkAll.analyse(study(plan, truth, `study ${i}`), plan, { verdictOnly: true }).results;
    });
    const share = (holds: (result: (typeof results)[number]) => boolean) =>
      results.filter(holds).length / results.length;
    return { results, any: share((all) => all.some(({ verdict }) => verdict === 'difference-shown')), share };
  };
  /** Levels, tastes and days in logits: most words are ticked by habit, or for a sample of one's own. */
  const tastes: Truth = { listenerSd: 1.5, interactionSd: 2, sessionSd: 0.5 };

  test('nothing there, strong tastes of one’s own: found in at most 6 %', () => {
    const two = planOf({
      rounds: 2,
      attributes: ['warm', 'bright'],
      audiences: [
        ['home', 12],
        ['stage', 9],
      ],
    });
    expect(found(150, two, tastes).any).toBeLessThanOrEqual(0.06);
    expect(
      found(150, planOf({ attributes: ['warm', 'bright'], audiences: [['home', 20]] }), tastes).any,
    ).toBeLessThanOrEqual(0.06);
  });

  test('a planted difference is found as often as the plan says, and the right way round', () => {
    // Ticked by 70 % for a and 30 % for b, by everybody alike: more than half of them change.
    const log = Math.log(0.7 / 0.3);
    const truth: Truth = { ratings: { warm: { 'proto-a': log, 'proto-b': -log } } };
    const plan = planOf({ attributes: ['warm', 'bright'], audiences: [['home', 24]] });
    const { results, any } = found(150, plan, truth);
    expect(results.every(([result]) => result?.preferred !== 'proto-b')).toBe(true);
    // They have no tastes of their own, so that fewer change than is assumed: found a little oftener.
    const stated = tickedPower(24, 0.4, 1, 0.05);
    expect(any).toBeGreaterThan(stated - 0.03);
    expect(any).toBeLessThan(stated + 0.15);
  });

  test('as far apart as is worth finding: hardly ever called not separated', () => {
    const log = Math.log(0.65 / 0.35);
    const truth: Truth = { ratings: { warm: { 'proto-a': log, 'proto-b': -log } } };
    const plan = planOf({ attributes: ['warm', 'bright'], audiences: [['home', 16]] });
    const { share } = found(100, plan, truth);
    expect(share(([result]) => result?.verdict === 'not-separated')).toBeLessThanOrEqual(0.06);
  });
});
