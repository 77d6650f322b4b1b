import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../protocols/protocol';
import type { AudienceResult } from '../../protocols/results';
import { analyseRights } from '../../protocols/right-answers';
import { rightsNeeded } from '../../protocols/rights-power';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { matched } from './simulated-study';

const analyseAbx = (outcomes: readonly Outcome[], plan: Plan) => analyseRights(outcomes, plan, 1 / 2);
const planOf = (wish: PlanWish = {}) => aPlan({ method: 'abx', units: 2, ...wish });
const both = (home = 4, stage = 4, wish: PlanWish = {}) =>
  planOf({
    audiences: [
      ['home', home],
      ['stage', stage],
    ],
    ...wish,
  });
/** So many right of so many, dealt to listeners of 6 trials each. */
const answered = (correct: number, trials: number, audience = 'home'): Outcome[] => {
  const signs = '+'.repeat(correct) + '-'.repeat(trials - correct);
  return (signs.match(/.{1,6}/g) ?? []).flatMap((line, i) => matched(`${audience}${i + 1}`, line, audience));
};
const resultOf = (outcomes: Outcome[], plan: Plan): AudienceResult => {
  const [result] = analyseAbx(outcomes, plan).results;
  if (!result) throw new Error('no result');
  return result;
};
const detailOf = (outcomes: Outcome[], plan: Plan) => {
  const { difference } = resultOf(outcomes, plan);
  if (!difference) throw new Error('a difference method has its detail');
  return difference;
};

/** P(X ≥ correct) of n answers right with that chance, by adding up n choose k; nothing of ours. */
function tail(correct: number, n: number, chance = 0.5): number {
  let [ways, total] = [1, 0];
  for (let k = 0; k <= n; k++) {
    if (k >= correct) total += ways * chance ** k * (1 - chance) ** (n - k);
    ways = (ways * (n - k)) / (k + 1);
  }
  return total;
}

describe('12 right of 16', () => {
  const plan = planOf({ risks: { smallest: { kind: 'heard', value: 0.6 } } });
  const result = resultOf(answered(12, 16), plan);
  const detail = detailOf(answered(12, 16), plan);

  test('p one-sided, by counting: 2,517 of 65,536', () => {
    expect(result).toMatchObject({ verdict: 'difference-shown', primary: null, preferred: null, pairs: [] });
    expect(result.p).toBeCloseTo(2517 / 65536, 15);
    expect(result.pAdjusted).toBe(result.p);
    expect(detail).toMatchObject({ correct: 12, trials: 16, critical: 12 });
    expect(result.n).toEqual({ listeners: 3, trials: 16, days: 1, units: 0 });
  });

  test('misses as the criterion of 12 of 16 is known for', () => {
    // Leventhal (1986), "Type 1 and type 2 errors in the statistical analysis of listening tests", Journal of the Audio
    // Engineering Society 34:437–453: risk of a miss at true shares of right answers of 0.6, 0.7, 0.75 and 0.8; the
    // citation from memory. Shares truly heard are 2·share − 1; those of 0.2 and 0.5 are always told, 0.6 as planned.
    const at = (heard: number) => detail.misses.find((one) => Math.abs(one.heard - heard) < 1e-12)?.miss;
    expect(at(0.2)).toBeCloseTo(0.8334, 4);
    expect(at(0.5)).toBeCloseTo(0.3698, 4);
    expect(at(0.6)).toBeCloseTo(0.2018, 4);
    expect(detail.misses.map(({ heard }) => heard)).toEqual([0.1, 0.2, 0.3, 0.5, 0.6, 0.7]);
    expect(
      detailOf(answered(12, 16), planOf({ risks: { smallest: { kind: 'heard', value: 0.4 } } })).misses,
    ).toContainEqual({ heard: 0.4, miss: expect.closeTo(0.5501, 4) });
    expect(result.power).toBeCloseTo(1 - 0.2018, 4);
  });

  test('the share with Clopper and Pearson’s limits; what the average listener heard, by hand', () => {
    const { share, heard, heardOf, unevenP } = detail;
    expect(share).toMatchObject({ name: 'correct', value: 0.75, level: 0.95 });
    // Each limit leaves 2.5 % beyond what was seen.
    expect(tail(12, 16, share?.lower)).toBeCloseTo(0.025, 10);
    expect(1 - tail(13, 16, share?.upper)).toBeCloseTo(0.025, 10);
    // 6 of 6, 6 of 6 and 0 of 4: two always hear it, or guess luckily, and one never does. With a share m of such
    // listeners, (m + (1 − m)/2⁶)²·(1 − m)/2⁴, is largest at m = 125/189.
    expect(heardOf).toBe('average-listener');
    expect(heard).toMatchObject({ name: 'heard', value: expect.closeTo(125 / 189, 10), level: 0.95 });
    expect(heard?.lower).toBeLessThan(0.2);
    expect(heard?.upper).toBeGreaterThan(0.95);
    expect(unevenP).toBeLessThan(0.001);
    expect(result.estimate).toEqual(heard);
  });

  test('one listener, or one answer each: all trials together, lucky guesses off Clopper and Pearson’s limits', () => {
    for (const outcomes of [
      matched('Ann', '++++++++++++----'),
      [...'++++++++++++----'].flatMap((sign, i) => matched(`L${i}`, sign)),
    ]) {
      const { share, heard, heardOf, unevenP } = detailOf(outcomes, plan);
      expect([heardOf, unevenP]).toEqual(['all-trials', null]);
      expect(heard).toMatchObject({ name: 'heard', value: 0.5, level: 0.95 });
      expect(heard?.upper).toBeCloseTo(2 * (share?.upper ?? 9) - 1, 12);
      // 2·0.476 − 1 is less than nothing, and no share is.
      expect(share?.lower).toBeLessThan(0.5);
      expect(heard?.lower).toBe(0);
    }
  });

  test('ten answers of one say less than one answer of ten: listeners who differ widen the interval', () => {
    const width = (...lines: string[]) => {
      const { heard, heardOf } = detailOf(
        lines.flatMap((line, i) => matched(`L${i}`, line)),
        plan,
      );
      expect(heardOf).toBe('average-listener');
      return (heard?.upper ?? 9) - (heard?.lower ?? 9);
    };
    const alike = width('++++++--', '++++++--', '++++++--', '++++++--');
    const differ = width('++++++++', '++++++++', '++++----', '++++----');
    expect(differ).toBeGreaterThan(1.3 * alike);
  });

  test('11 right are undecided: what is still possible, and who would settle it', () => {
    const less = resultOf(answered(11, 16), plan);
    const { heard } = detailOf(answered(11, 16), plan);
    expect(less.verdict).toBe('undecided');
    expect(less.p).toBeCloseTo(tail(11, 16), 14);
    expect(less.alsoPossible).toEqual({ lower: heard?.lower, upper: heard?.upper });
    expect(less.wouldSettle).toBeNull();
    const weak = planOf({ risks: { smallest: { kind: 'heard', value: 0.3 } } });
    expect(resultOf(answered(11, 16), weak).wouldSettle).toEqual({ listeners: rightsNeeded(weak, 1 / 2)?.listeners });
    expect(result.alsoPossible).toBeNull();
  });
});

describe('critical counts, by adding up', () => {
  test.each([0.01, 0.05, 0.2])('1 to 60 trials at α = %f', (alpha) => {
    for (let trials = 1; trials <= 60; trials++) {
      const { critical } = detailOf(answered(0, trials), planOf({ risks: { alpha } }));
      const counts = Array.from({ length: trials + 1 }, (_, k) => k).filter((k) => tail(k, trials) <= alpha + 1e-12);
      expect(critical, `${trials} trials`).toBe(counts[0] ?? null);
    }
  });
});

test.each([
  ['triangle', 1 / 3],
  ['two-out-of-five', 1 / 10],
] as const)('%s: by its own chance; misses and power as well', (method, chance) => {
  const plan = aPlan({ method, units: 2 });
  for (const trials of [1, 2, 3, 8, 17, 48]) {
    const [result] = analyseRights(answered(0, trials), plan, chance).results;
    const counts = Array.from({ length: trials + 1 }, (_, k) => k).filter((k) => tail(k, trials, chance) <= 0.05);
    expect(result?.difference?.critical, `${trials} trials`).toBe(counts[0] ?? null);
    expect(result?.power).toBeCloseTo(counts[0] ? tail(counts[0], trials, chance + (1 - chance) / 2) : 0, 12);
    for (const { heard, miss } of result?.difference?.misses ?? []) {
      const power = counts[0] ? tail(counts[0], trials, chance + (1 - chance) * heard) : 0;
      expect(miss).toBeCloseTo(1 - power, 12);
    }
  }
  const half = analyseRights(answered(24, 48), plan, chance).results[0];
  expect(half).toMatchObject({ verdict: 'difference-shown' });
  expect(half?.p).toBeCloseTo(tail(24, 48, chance), 14);
});

describe('too few trials to show anything', () => {
  test('4 of 4 are 1/16, 5 of 5 are 1/32', () => {
    const four = resultOf(answered(4, 4), planOf());
    expect(four).toMatchObject({ verdict: 'not-enough-data', p: 1 / 16, difference: { critical: null }, power: 0 });
    expect(four.wouldSettle?.listeners).toBeGreaterThan(1);
    expect(resultOf(answered(5, 5), planOf())).toMatchObject({ verdict: 'difference-shown', p: 1 / 32 });
  });

  test('5 of 5 beside an audience that hears nothing are 2/32: not enough; beside one that hears it, enough', () => {
    const deaf = [...answered(5, 5), ...answered(12, 24, 'stage')];
    expect(resultOf(deaf, both())).toMatchObject({ verdict: 'not-enough-data', pAdjusted: 1 / 16 });
    const hearing = [...answered(5, 5), ...answered(23, 24, 'stage')];
    expect(resultOf(hearing, both())).toMatchObject({
      verdict: 'difference-shown',
      pAdjusted: 1 / 32,
      difference: { critical: 5 },
    });
  });

  test('nobody came', () => {
    const none = resultOf([], planOf());
    expect(none).toMatchObject({
      verdict: 'not-enough-data',
      estimate: null,
      p: null,
      pAdjusted: null,
      power: 0,
      alsoPossible: null,
      difference: { correct: 0, trials: 0, critical: null, share: null, heard: null, misses: [], listeners: [] },
    });
    expect(none.warnings).toEqual(['fewer-listeners:0:8']);
  });
});

describe('two audiences', () => {
  const plan = both();

  test('Holm by hand: the smaller p twice, the other at least as large', () => {
    const { results } = analyseAbx([...answered(17, 24), ...answered(18, 24, 'stage')], plan);
    const [home, stage] = [tail(17, 24), tail(18, 24)];
    expect(results.map(({ p }) => p)).toEqual([expect.closeTo(home, 13), expect.closeTo(stage, 13)]);
    expect(results[1]?.pAdjusted).toBeCloseTo(2 * stage, 13);
    expect(results[0]?.pAdjusted).toBeCloseTo(Math.max(home, 2 * stage), 13);
    // 17 of 24 has 0.032 and would fail at α/2, but the other audience shows it at 2 · 0.0113.
    expect(results.map(({ verdict }) => verdict)).toEqual(['difference-shown', 'difference-shown']);
  });

  test('17 of 24 alone fails beside an audience that guesses: the count needed is then one more', () => {
    const { results } = analyseAbx([...answered(17, 24), ...answered(12, 24, 'stage')], plan);
    expect(results[0]).toMatchObject({ verdict: 'undecided', difference: { critical: 18 } });
    expect(results[1]?.difference?.critical).toBe(18);
    const beside = analyseAbx([...answered(17, 24), ...answered(20, 24, 'stage')], plan).results;
    expect(beside[0]).toMatchObject({ verdict: 'difference-shown', difference: { critical: 17 } });
  });

  test('power and misses are told at α/2, which an audience can count on, or α where the other didn’t answer', () => {
    const power = (critical: number) => tail(critical, 24, 0.75);
    const [beside] = analyseAbx([...answered(17, 24), ...answered(23, 24, 'stage')], plan).results;
    expect(beside?.power).toBeCloseTo(power(18), 12);
    expect(beside?.difference?.misses.find(({ heard }) => heard === 0.5)?.miss).toBeCloseTo(1 - power(18), 12);
    const [alone, absent] = analyseAbx(answered(17, 24), plan).results;
    expect(alone).toMatchObject({ verdict: 'difference-shown', difference: { critical: 17 } });
    expect(alone?.power).toBeCloseTo(power(17), 12);
    expect(absent).toMatchObject({ verdict: 'not-enough-data', p: null });
  });

  test('whether they answer alike is told by each listener’s share of right answers', () => {
    const alike = ['a', 'b', 'c', 'd'].flatMap((name) => [
      ...matched(`h${name}`, '+-+++-', 'home'),
      ...matched(`s${name}`, '++-++-', 'stage'),
    ]);
    expect(analyseAbx(alike, plan).interaction).toEqual({ of: 'correct', statistic: 0, p: 1, permutations: 70 });
    const opposite = ['a', 'b', 'c', 'd'].flatMap((name) => [
      ...matched(`h${name}`, '++++++', 'home'),
      ...matched(`s${name}`, '+-+--+ 0 --+', 'stage'),
    ]);
    const { interaction } = analyseAbx(opposite, plan);
    expect(interaction?.p).toBeCloseTo(2 / 70, 14);
    // Means 1 and 4/9, four listeners each: 8 · (5/18)².
    expect(interaction?.statistic).toBeCloseTo(8 * (5 / 18) ** 2, 12);
    expect(analyseAbx(answered(17, 24), plan).interaction).toBeNull();
    expect(analyseAbx(answered(17, 24), planOf()).interaction).toBeNull();
  });
});

test('rights of each listener by session, in the order of sessions', () => {
  const outcomes = [...matched('Zoe', '+-+ ++ ---'), ...matched('Ann', '0 ++- +')];
  const { listeners } = detailOf([...outcomes].reverse(), planOf({ sessions: 3 }));
  expect(listeners).toEqual([
    {
      listener: 'Ann',
      correct: 3,
      trials: 4,
      sessions: [
        { sessionNumber: 2, correct: 2, trials: 3 },
        { sessionNumber: 3, correct: 1, trials: 1 },
      ],
    },
    {
      listener: 'Zoe',
      correct: 4,
      trials: 8,
      sessions: [
        { sessionNumber: 1, correct: 2, trials: 3 },
        { sessionNumber: 2, correct: 2, trials: 2 },
        { sessionNumber: 3, correct: 0, trials: 3 },
      ],
    },
  ]);
  expect(resultOf(outcomes, planOf({ sessions: 3 })).n).toMatchObject({ listeners: 2, trials: 12, days: 3 });
});

describe('warnings', () => {
  test('more or fewer listeners than planned, and single units', () => {
    const warnings = (listeners: number, wish: PlanWish) =>
      resultOf(answered(6 * listeners, 6 * listeners), planOf(wish)).warnings;
    expect(warnings(8, {})).toEqual([]);
    expect(warnings(6, {})).toEqual(['fewer-listeners:6:8']);
    expect(warnings(9, {})).toEqual(['more-listeners:9:8']);
    expect(warnings(8, { units: 1 })).toEqual(['these-units-only:2:2']);
    expect(warnings(8, { units: [2, 1] })).toEqual(['these-units-only:1:2']);
  });

  test('far fewer right than guessing gives: no share is less than 0, and that is said', () => {
    const deaf = (line: string) => Array.from({ length: 8 }, (_, i) => matched(`L${i}`, line)).flat();
    const result = resultOf(deaf('+-----'), planOf());
    expect(result).toMatchObject({ verdict: 'undecided', estimate: { value: 0, lower: 0 } });
    // A listener who hears it always is right six times of six; that none of eight was leaves 1 − exp(−1.92/8).
    expect(result.estimate?.upper).toBeCloseTo(1 - Math.exp(-3.841458820694124 / 16), 8);
    expect(result.warnings).toContain('fewer-right-than-guessing:8:48');
    expect(resultOf(deaf('++----'), planOf()).warnings).toContain('fewer-right-than-guessing:16:48');
    expect(resultOf(deaf('+++---'), planOf()).warnings).toEqual([]);
    const alone = resultOf(matched('Ann', `${'+'.repeat(12)}${'-'.repeat(36)}`), planOf());
    expect(alone).toMatchObject({ estimate: { value: 0, lower: 0, upper: 0 } });
    expect(alone.warnings).toContain('fewer-right-than-guessing:12:48');
  });
});

test('all right and all wrong', () => {
  expect(resultOf(answered(48, 48), planOf())).toMatchObject({
    verdict: 'difference-shown',
    estimate: { value: 1, upper: 1 },
    p: 2 ** -48,
  });
  expect(resultOf(answered(0, 48), planOf())).toMatchObject({ verdict: 'undecided', p: 1, estimate: { value: 0 } });
});

test('answers of an audience that the plan doesn’t know count nowhere', () => {
  const outcomes = [...answered(17, 24), ...answered(0, 24, 'nobody')];
  expect(analyseAbx(outcomes, planOf())).toEqual(analyseAbx(answered(17, 24), planOf()));
});

describe('properties', () => {
  const study = fc.array(
    fc.record({
      home: fc.boolean(),
      answers: fc.array(fc.array(fc.boolean(), { minLength: 1, maxLength: 8 }), { minLength: 1, maxLength: 3 }),
    }),
    { minLength: 1, maxLength: 8 },
  );
  const played = (listeners: typeof study extends fc.Arbitrary<infer T> ? T : never) =>
    listeners.flatMap(({ home, answers }, i) =>
      matched(
        `L${i}`,
        answers.map((session) => session.map((right) => (right ? '+' : '-')).join('')).join(' '),
        home ? 'home' : 'stage',
      ),
    );

  test('shown just when the count needed is reached; never a word that ABX can’t say', () => {
    fc.assert(
      fc.property(study, fc.constantFrom(0.05, 0.1, 0.2), (listeners, alpha) => {
        for (const result of analyseAbx(played(listeners), both(4, 4, { risks: { alpha } })).results) {
          const { correct = 0, critical = null } = result.difference ?? {};
          const shown = critical !== null && correct >= critical;
          expect(result.verdict).toBe(shown ? 'difference-shown' : critical === null ? 'not-enough-data' : 'undecided');
          expect(shown).toBe(result.pAdjusted !== null && result.pAdjusted <= alpha);
        }
      }),
      { seed: 1, numRuns: 150 },
    );
  });

  test('names and order of answers change nothing; nor does which sample comes first', () => {
    fc.assert(
      fc.property(study, (listeners) => {
        const outcomes = played(listeners);
        const strip = (from: Outcome[]) => {
          const { results, ...rest } = analyseAbx(from, both());
          const bare = results.map(({ difference, ...result }) => ({
            ...result,
            difference: {
              ...difference,
              listeners: difference?.listeners.map((one) => JSON.stringify({ ...one, listener: '' })).sort(),
            },
          }));
          return { ...rest, results: bare };
        };
        const before = strip(outcomes);
        const moved = outcomes.toReversed().map((one) => ({
          ...one,
          listener: `x${(Number(one.listener.slice(1)) * 7) % 11}` as typeof one.listener,
          prototypes: one.prototypes.toReversed(),
        }));
        expect(strip(moved)).toEqual(before);
      }),
      { seed: 2, numRuns: 60 },
    );
  });

  test('one wrong answer turned right lowers p and lifts the share', () => {
    fc.assert(
      fc.property(study, (listeners) => {
        const outcomes = played(listeners);
        const wrong = outcomes.findIndex(({ value, audience }) => value === 0 && audience === 'home');
        fc.pre(wrong >= 0);
        const turned = outcomes.map((one, i) => (i === wrong ? { ...one, value: 1 } : one));
        const [before, after] = [resultOf(outcomes, both()), resultOf(turned, both())];
        expect(after.p).toBeLessThan(before.p ?? 0);
        const [less, more] = [before.difference?.share, after.difference?.share];
        expect(more?.value).toBeGreaterThan(less?.value ?? 9);
        expect(more?.upper).toBeGreaterThanOrEqual(less?.upper ?? 9);
        // Over listeners it may make them more alike, which the interval knows; the estimate still rises.
        expect(after.estimate?.value).toBeGreaterThanOrEqual((before.estimate?.value ?? 9) - 1e-9);
      }),
      { seed: 3, numRuns: 60 },
    );
  });
});
