import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { firstImpressions } from '../../protocols/first-impressions';
import { assumedSd, ratingPower } from '../../protocols/first-impressions-power';
import type { Outcome } from '../../protocols/protocol';
import type { AudienceResult } from '../../protocols/results';
import type { Plan } from '../../shared/plan';
import { anovaBlocks } from '../../stats/anova-blocks';
import { equivalence } from '../../stats/equivalence';
import { friedman } from '../../stats/friedman';
import { seededRandom } from '../../stats/seeded-random';
import { sizeForMeans } from '../../stats/size-for-means';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { panel, rated } from './rated';
import { simulatedImpressions } from './simulated-impressions';

const planOf = (wish: PlanWish = {}) => aPlan({ method: 'first-impressions', scales: ['liking'], ...wish });
const resultOf = (outcomes: Outcome[], plan: Plan): AudienceResult => {
  const [result] = firstImpressions.analyse(outcomes, plan).results;
  if (!result) throw new Error('no result');
  return result;
};
const scaleOf = (result: AudienceResult, place = 0) => {
  const scale = result.ratings?.scales[place];
  if (!scale) throw new Error('no such scale');
  return scale;
};

/** P(|T| ≥ t) with 3 degrees of freedom in closed form (Abramowitz & Stegun 1964, 26.7.3). */
function tailsOf3(t: number): number {
  const angle = Math.atan(t / Math.sqrt(3));
  return 1 - (2 / Math.PI) * (angle + Math.sin(angle) * Math.cos(angle));
}
/** Student's t with 3 degrees of freedom, 2.5 % above (table in Fisher & Yates 1963; from memory). */
const t3 = 3.18245;

describe('four listeners, two prototypes, one rating each, by hand', () => {
  // Differences a − b: 2 1 1 0, mean 1, variance 2/3, standard error √(1/6).
  const plan = planOf({ audiences: [['home', 4]] });
  const outcomes = panel(['a3 b1', 'a1 b0', 'b-1 a0', 'a2 b2']);
  const result = resultOf(outcomes, plan);
  const error = Math.sqrt(1 / 6);

  test('difference with its interval, and p', () => {
    expect(result.estimate).toMatchObject({ name: 'difference', level: 0.95 });
    expect(result.estimate?.value).toBeCloseTo(1, 14);
    expect(result.estimate?.lower).toBeCloseTo(1 - t3 * error, 5);
    expect(result.estimate?.upper).toBeCloseTo(1 + t3 * error, 5);
    expect(result.p).toBeCloseTo(tailsOf3(1 / error), 12);
    expect(result.pAdjusted).toBe(result.p);
    expect(scaleOf(result).pairs).toEqual([
      {
        first: 'proto-a',
        second: 'proto-b',
        difference: result.estimate,
        degreesOfFreedom: expect.closeTo(3, 10),
        p: result.p,
        pAdjusted: result.p,
        byMeans: {
          difference: {
            ...result.estimate,
            value: expect.closeTo(1, 12),
            lower: expect.closeTo(result.estimate?.lower ?? 0, 10),
            upper: expect.closeTo(result.estimate?.upper ?? 0, 10),
          },
          p: expect.closeTo(result.p ?? 0, 10),
        },
      },
    ]);
  });

  test('undecided: what is possible, and how many by the spread that was seen would settle it', () => {
    expect(result).toMatchObject({ verdict: 'undecided', preferred: null });
    expect(result.alsoPossible).toEqual({ lower: result.estimate?.lower, upper: result.estimate?.upper });
    const { listeners } = sizeForMeans({ standardDeviation: Math.sqrt(2 / 3), difference: 1, alpha: 0.05, beta: 0.2 });
    expect(listeners).toBeGreaterThan(4);
    expect(result.wouldSettle).toEqual({ listeners });
  });

  test('counts, means and what doesn’t belong to ratings', () => {
    expect(result.n).toEqual({ listeners: 4, trials: 8, days: 1, units: 2 });
    expect(result).toMatchObject({
      primary: null,
      pairs: [],
      difference: null,
      scores: null,
      consistency: [],
      otherRule: null,
    });
    const scale = scaleOf(result);
    expect(scale).toMatchObject({ scale: 'liking', primary: true, listeners: 4, ratings: 8, late: 0 });
    expect(scale.means.map(({ prototype, value }) => [prototype, value])).toEqual([
      ['proto-a', 1.5],
      ['proto-b', 0.5],
    ]);
    // Ratings of a: 3 1 0 2, variance 5/3.
    expect(scale.means[0]?.upper).toBeCloseTo(1.5 + t3 * Math.sqrt(5 / 12), 5);
  });

  test('power is stated for the listeners and ratings that came, under the assumed spread', () => {
    expect(result.power).toBeCloseTo(ratingPower(4, 1, assumedSd(1), 0.05), 14);
  });

  test('with two prototypes F of the blocks is t² of the pair', () => {
    expect(scaleOf(result).blocks?.f).toBeCloseTo(6, 10);
    expect(scaleOf(result).blocks?.p).toBeCloseTo(result.p ?? -1, 10);
  });
});

describe('listeners count once', () => {
  test('by the mean of their sittings’ means, so that neither a hidden repeat nor a diligent listener weighs double', () => {
    const plan = planOf({ hiddenRepeats: 1, sessions: 2 });
    // First listener: a is (3 + 1)/2 = 2 and then 0, so 1; b is 0. The others once.
    const outcomes = panel(['a3 b0 a1 | a0 b0', 'a2 b0', 'a0 b1']);
    const result = resultOf(outcomes, plan);
    expect(scaleOf(result).pairs[0]?.byMeans.difference?.value).toBeCloseTo((1 + 2 - 1) / 3, 14);
    expect(scaleOf(result).means[0]?.value).toBeCloseTo(1, 14);
    expect(scaleOf(result)).toMatchObject({ listeners: 3, ratings: 9 });
    expect(result.n).toMatchObject({ trials: 9, days: 2 });
    // Of a residual's variance a keeps (½ + 1)/4 and b ½ with the first, all with the others.
    const left = ((3 / 8 + 1 / 2) / 2 + 1 + 1) / 3;
    expect(result.power).toBeCloseTo(ratingPower(3, 1, assumedSd(left), 0.05), 14);
  });

  test('everything said four times over is no more evidence', () => {
    const lines = ['a3 b1', 'a1 b0', 'a0 b-1', 'a2 b2'];
    const once = resultOf(panel(lines), planOf({ sessions: 4 }));
    const often = resultOf(panel(lines.map((line) => [line, line, line, line].join(' | '))), planOf({ sessions: 4 }));
    expect(often.p).toBeCloseTo(once.p ?? -1, 12);
    expect(scaleOf(often).blocks?.f).toBeCloseTo(scaleOf(once).blocks?.f ?? -1, 10);
  });
});

describe('three prototypes, two scales, two audiences', () => {
  const plan = planOf({
    prototypes: 3,
    scales: ['liking', 'bass'],
    primary: [2, 0],
    audiences: [
      ['home', 5],
      ['stage', 4],
    ],
  });
  const home = ['a0 b1 c3', 'a-1 b2 c1', 'a1 b1 c3', 'a0 b0 c2', 'a-1 b3 c2'];
  const stage = ['a1 b0 c0', 'a2 b-1 c1', 'a0 b-2 c-1', 'a2 b2 c0'];
  const bass = ['a4 b5 c6', 'a3 b5 c5', 'a4 b4 c7', 'a2 b5 c5', 'a4 b5 c5'];
  const outcomes = [...panel(home), ...panel(stage, 'stage'), ...panel(bass, 'home', 'bass')];
  const { results, decidedBy, interaction } = firstImpressions.analyse(outcomes, plan);

  test('the primary pair stands first and as the plan puts it, the others in the order of the plan', () => {
    for (const result of results) {
      for (const { pairs } of result.ratings?.scales ?? []) {
        expect(pairs.map(({ first, second }) => first.slice(-1) + second.slice(-1))).toEqual(['ca', 'ab', 'bc']);
      }
    }
    expect(results[0]?.ratings?.scales.map(({ scale, primary }) => [scale, primary])).toEqual([
      ['liking', true],
      ['bass', false],
    ]);
    expect(decidedBy).toBe('mixed model, or listeners’ means where there is none');
  });

  test('blocks and Friedman are those of the listeners’ means', () => {
    const scores = [
      [0, 1, 3],
      [-1, 2, 1],
      [1, 1, 3],
      [0, 0, 2],
      [-1, 3, 2],
    ];
    const scale = scaleOf(results[0] as AudienceResult);
    const [items] = anovaBlocks({ scores }).rows;
    expect(scale.blocks?.f).toBeCloseTo(items?.f ?? -1, 12);
    expect(scale.blocks?.p).toBeCloseTo(items?.p ?? -1, 12);
    const { chiSquare, p } = friedman({ scores });
    expect(scale.friedman).toEqual({ chiSquare, p });
  });

  test('Holm: the primary pair over audiences; all the rest together', () => {
    const [one, other] = results.map(({ p }) => p as number) as [number, number];
    const [least, most] = one < other ? [one, other] : [other, one];
    expect(results.map(({ pAdjusted }) => pAdjusted)).toEqual(
      [one, other].map((p) => (p === least ? 2 * least : Math.max(2 * least, most))),
    );
    const rest = results.flatMap(({ ratings }) =>
      (ratings?.scales ?? []).flatMap(({ pairs, primary }) => (primary ? pairs.slice(1) : pairs)),
    );
    // Stage never rated bass: three of those pairs have no p.
    expect(rest.filter(({ p }) => p === null).map(({ pAdjusted }) => pAdjusted)).toEqual([null, null, null]);
    const tested = rest.filter(({ p }) => p !== null).toSorted((a, b) => (a.p as number) - (b.p as number));
    expect(tested).toHaveLength(7);
    let before = 0;
    tested.forEach(({ p, pAdjusted }, i) => {
      before = Math.max(before, Math.min(1, (p as number) * (7 - i)));
      expect(pAdjusted).toBeCloseTo(before, 14);
    });
  });

  test('the higher rated is named, whichever the plan puts first', () => {
    expect(results[0]).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-c' });
    const turned = firstImpressions.analyse(outcomes, {
      ...plan,
      primary: { ...plan.primary, first: 'proto-a', second: 'proto-c' },
    });
    expect(turned.results[0]).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-c' });
    expect(turned.results[0]?.estimate?.value).toBeCloseTo(-(results[0]?.estimate?.value ?? 0), 14);
  });

  test('whether audiences answer alike is asked of each listener’s difference', () => {
    expect(interaction?.of).toBe('points');
    // Differences c − a: 3 2 2 2 3 and −1 −1 −1 −2: of 126 ways to deal nine, this one lies furthest apart.
    expect(interaction?.p).toBeCloseTo(1 / 126, 12);
  });
});

describe('boundaries of the verdict', () => {
  const lines = ['a3 b1', 'a1 b0', 'a0 b-1', 'a2 b2'];
  const verdict = (alpha: number) => resultOf(panel(lines), planOf({ risks: { alpha } })).verdict;

  test('p just at α is enough, just above is not', () => {
    const p = resultOf(panel(lines), planOf()).p as number;
    expect(verdict(p)).toBe('difference-shown');
    expect(verdict(p - 1e-9)).not.toBe('difference-shown');
  });

  describe('not separated where the interval of 1 − 2α lies within the smallest worth finding', () => {
    const alike = ['a1 b0', 'a0 b1', 'a2 b1', 'a0 b0', 'a1 b1', 'a-1 b0'];
    const { upper } = equivalence({ first: [1, 0, 2, 0, 1, -1], second: [0, 1, 1, 0, 1, 0], margin: 1, alpha: 0.05 });
    const at = (value: number, audiences: [string, number][] = [['home', 6]]) =>
      resultOf(panel(alike), planOf({ audiences, risks: { smallest: { kind: 'points', value } } })).verdict;

    test('just within, and just not', () => {
      expect(at(upper + 1e-9)).toBe('not-separated');
      expect(at(upper - 1e-9)).toBe('undecided');
    });

    test('with a second audience planned it takes more: α is halved, whether that one came or not', () => {
      const both: [string, number][] = [
        ['home', 6],
        ['stage', 6],
      ];
      expect(at(upper + 1e-9, both)).toBe('undecided');
      const wider = equivalence({
        first: [1, 0, 2, 0, 1, -1],
        second: [0, 1, 1, 0, 1, 0],
        margin: 1,
        alpha: 0.025,
      }).upper;
      expect(at(wider + 1e-9, both)).toBe('not-separated');
      expect(at(wider - 1e-9, both)).toBe('undecided');
    });
  });

  test('two listeners with both are not enough, of one mind though they be; three are', () => {
    const two = resultOf(panel(['a3 b-3', 'a3 b-2']), planOf());
    expect(two).toMatchObject({ verdict: 'not-enough-data', p: null, pAdjusted: null, preferred: null, power: 0 });
    expect(two.warnings).toContain('rated-both:2:3');
    // An interval there is, and so it is shown.
    expect(two.estimate?.value).toBeCloseTo(5.5, 14);
    expect(two.wouldSettle?.listeners).toBe(
      sizeForMeans({ standardDeviation: assumedSd(1), difference: 1, alpha: 0.05, beta: 0.2 }).listeners,
    );
    expect(resultOf(panel(['a3 b-3', 'a3 b-2', 'a3 b-3']), planOf()).verdict).toBe('difference-shown');
  });
});

describe('data that leave something undefined', () => {
  const neverNaN = (value: unknown) =>
    expect(
      JSON.stringify(value, (_key, one: unknown) =>
        typeof one === 'number' && !Number.isFinite(one) ? 'BROKEN' : one,
      ),
    ).not.toContain('BROKEN');

  test('nobody', () => {
    const analysis = firstImpressions.analyse(
      [],
      planOf({
        prototypes: 3,
        audiences: [
          ['home', 5],
          ['stage', 5],
        ],
      }),
    );
    neverNaN(analysis);
    expect(analysis).toMatchObject({ interaction: null, habituation: [] });
    for (const result of analysis.results) {
      expect(result).toMatchObject({
        verdict: 'not-enough-data',
        estimate: null,
        p: null,
        pAdjusted: null,
        alsoPossible: null,
        power: 0,
      });
      expect(result.ratings).toMatchObject({ late: 0, ratings: 0, withoutLate: null });
      expect(scaleOf(result)).toMatchObject({ listeners: 0, ratings: 0, means: [], blocks: null, friedman: null });
      expect(result.wouldSettle?.listeners).toBeGreaterThan(3);
      expect(result.warnings).toEqual(['fewer-listeners:0:5', 'these-units-only:3:3', 'rated-both:0:3']);
    }
  });

  test('one listener', () => {
    const result = resultOf(rated('L1', 'a3 b1 | a2 b1'), planOf({ sessions: 2 }));
    neverNaN(result);
    expect(result).toMatchObject({ verdict: 'not-enough-data', estimate: null, p: null });
    expect(scaleOf(result)).toMatchObject({ listeners: 1, means: [], blocks: null, friedman: null });
  });

  test('everybody differs by the same: no spread to test against, whatever the difference', () => {
    for (const lines of [
      ['a3 b1', 'a2 b0', 'a1 b-1', 'a0 b-2'],
      ['a1 b1', 'a1 b1', 'a1 b1'],
    ]) {
      const result = resultOf(panel(lines), planOf());
      neverNaN(result);
      expect(result).toMatchObject({
        verdict: 'not-enough-data',
        estimate: null,
        p: null,
        pAdjusted: null,
        preferred: null,
      });
      expect(result.warnings).toContain('no-variation');
      expect(scaleOf(result).blocks).toEqual({ f: null, p: null });
    }
  });

  test('differences of thirds that are alike but for rounding are alike', () => {
    const thirds = ['a1 b0 | a1 b0 | a2 b1', 'a2 b1 | a0 b0 | a3 b1', 'a0 b0 | a3 b2 | a2 b0', 'a1 b1 | a0 b0 | a3 b0'];
    const result = resultOf(panel(thirds), planOf({ sessions: 3 }));
    // The model still sees how far the same listener's ratings of a sample lie apart from day to day.
    expect(scaleOf(result).pairs[0]?.byMeans).toEqual({ difference: null, p: null });
    expect(result.estimate?.value).toBeCloseTo(1, 10);
  });

  test('all rate all alike: Friedman has nothing to rank', () => {
    const scale = scaleOf(resultOf(panel(['a1 b1 c1', 'a2 b2 c2', 'a0 b0 c0']), planOf({ prototypes: 3 })));
    expect(scale).toMatchObject({ friedman: null, blocks: { f: null, p: null } });
    // Listeners differ, so the means have intervals.
    expect(scale.means.every(({ lower, upper }) => lower < 1 && upper > 1)).toBe(true);
  });

  test('a prototype that some never rated: they are missing from the blocks, and not from the pairs that they rated', () => {
    const result = resultOf(
      panel(['a3 b1 c0', 'a1 b0', 'a0 b-1 c1', 'a2 b2', 'c1']),
      planOf({ prototypes: 3, audiences: [['home', 5]] }),
    );
    expect(scaleOf(result)).toMatchObject({ listeners: 2, ratings: 11 });
    expect(result.estimate?.value).toBeCloseTo(1, 14);
    expect(result.warnings).toEqual(['these-units-only:3:3', 'listeners-incomplete:3', 'one-session']);
  });

  test('a scale that nobody rated, and one that the plan doesn’t have', () => {
    const plan = planOf({ scales: ['liking', 'warmth'] });
    const outcomes = [...panel(['a3 b1', 'a1 b0', 'a0 b-1', 'a2 b2']), ...panel(['a3 b1'], 'home', 'bass')];
    const result = resultOf(outcomes, plan);
    expect(result.ratings?.scales.map(({ scale, ratings }) => [scale, ratings])).toEqual([
      ['liking', 8],
      ['warmth', 0],
    ]);
    expect(result.estimate?.value).toBeCloseTo(1, 14);
  });

  test('more than planned, units, sessions: what is said of it', () => {
    const plan = planOf({ audiences: [['home', 2]], units: [1, 2], sessions: 2 });
    const lines = ['a3 b1', 'a1 b0', 'a0 b-1'];
    expect(resultOf(panel(lines), plan).warnings).toEqual([
      'more-listeners:3:2',
      'these-units-only:1:2',
      'one-session',
    ]);
    expect(resultOf(panel([...lines.slice(1), 'a3 b1 | a2 b2']), plan).warnings).not.toContain('one-session');
  });
});

describe('answers that came late', () => {
  const lines = ['a3 b1', 'a1 b0', 'a3! b-1', 'a2 b2'];
  const plan = planOf({ scales: ['liking', 'bass'] });

  test('are taken, counted, and left out for comparison', () => {
    const result = resultOf([...panel(lines), ...panel(['a3 b4!'], 'home', 'bass')], plan);
    expect(result.ratings).toMatchObject({ late: 2, ratings: 10 });
    expect(result.ratings?.scales.map(({ late }) => late)).toEqual([1, 1]);
    expect(result.estimate?.value).toBeCloseTo(7 / 4, 14);
    // Without the third listener's a: 2 1 0.
    expect(result.ratings?.withoutLate).toMatchObject({ first: 'proto-a', second: 'proto-b' });
    expect(result.ratings?.withoutLate?.difference?.value).toBeCloseTo(1, 14);
    expect(result.ratings?.withoutLate?.pAdjusted).toBe(result.ratings?.withoutLate?.p);
  });

  test('a second answer in time stands for the first', () => {
    const result = resultOf(panel(['a3! b1 a2', 'a1 b0', 'a2 b0']), plan);
    expect(result.ratings?.withoutLate?.difference?.value).toBeCloseTo((1 + 1 + 2) / 3, 14);
  });

  test('none, or none on the primary scale: nothing to compare', () => {
    expect(resultOf(panel(lines.map((line) => line.replace('!', ''))), plan).ratings?.withoutLate).toBeNull();
    const elsewhere = [...panel(['a3 b1', 'a1 b0', 'a2 b0']), ...panel(['a3! b4'], 'home', 'bass')];
    expect(resultOf(elsewhere, plan).ratings).toMatchObject({ late: 1, withoutLate: null });
  });

  test('all: nothing is left', () => {
    const result = resultOf(panel(['a3! b1!', 'a1! b0!', 'a2! b0!']), plan);
    expect(result.ratings?.withoutLate).toMatchObject({ difference: null, p: null, pAdjusted: null });
    expect(result.verdict).not.toBe('not-enough-data');
  });

  test('corrected over audiences, each with or without late ones', () => {
    const both = planOf({
      audiences: [
        ['home', 4],
        ['stage', 4],
      ],
    });
    const { results } = firstImpressions.analyse(
      [...panel(lines), ...panel(['a1 b0', 'a3 b0', 'a2 b0', 'a1 b1'], 'stage')],
      both,
    );
    const p = results[0]?.ratings?.withoutLate?.p as number;
    const stage = results[1]?.p as number;
    expect(results[1]?.ratings?.withoutLate).toBeNull();
    expect(results[0]?.ratings?.withoutLate?.pAdjusted).toBeCloseTo(p < stage ? 2 * p : Math.max(p, 2 * stage), 14);
  });
});

describe('properties', () => {
  const study = fc.record({
    seed: fc.integer({ min: 0, max: 1_000 }),
    listeners: fc.integer({ min: 1, max: 7 }),
    sessions: fc.integer({ min: 1, max: 3 }),
    hiddenRepeats: fc.integer({ min: 0, max: 3 }),
    lost: fc.constantFrom<number>(0, 0.2, 0.6),
  });
  type Study = typeof study extends fc.Arbitrary<infer T> ? T : never;
  const play = ({ seed, listeners, sessions, hiddenRepeats, lost }: Study) => {
    const plan = planOf({
      prototypes: 3,
      sessions,
      hiddenRepeats,
      scales: ['liking', 'bass'],
      audiences: [
        ['home', listeners],
        ['stage', 3],
      ],
    });
    const random = seededRandom(seed);
    const truth = { residualSd: 1, interactionSd: 0.5, ratings: { liking: { 'proto-a': 1 } } };
    const outcomes = simulatedImpressions(plan, truth, random)
      .filter(() => random.uniform() >= lost)
      .map((one) => ({ ...one, late: random.uniform() < 0.2 }));
    return { plan, outcomes };
  };
  const renamed = <T>(value: T, from: RegExp, to: (match: string) => string): T =>
    JSON.parse(JSON.stringify(value).replace(from, to)) as T;

  test('renaming the prototypes changes nothing but their names', () => {
    const names: Record<string, string> = { 'proto-a': 'zulu', 'proto-b': 'alfa', 'proto-c': 'mike' };
    const back = Object.fromEntries(Object.entries(names).map(([old, fresh]) => [fresh, old]));
    fc.assert(
      fc.property(study, (wish) => {
        const { plan, outcomes } = play(wish);
        const rename = <T>(value: T) => renamed(value, /proto-[abc]/g, (id) => names[id] ?? id);
        const after = firstImpressions.analyse(rename(outcomes), rename(plan));
        expect(renamed(after, /zulu|alfa|mike/g, (id) => back[id] ?? id)).toEqual(
          JSON.parse(JSON.stringify(firstImpressions.analyse(outcomes, plan))),
        );
      }),
      { seed: 1, numRuns: 12 },
    );
  });

  test('renaming the listeners, and the order of the answers, change no digit', () => {
    fc.assert(
      fc.property(study, (wish) => {
        const { plan, outcomes } = play(wish);
        const rename = <T>(value: T) => renamed(value, /home-(\d+)/g, (id) => `x${(Number(id.slice(5)) * 7) % 11}`);
        const before = firstImpressions.analyse(outcomes, plan);
        expect(firstImpressions.analyse(rename(outcomes), plan)).toEqual(before);
        expect(firstImpressions.analyse(outcomes.toReversed(), plan)).toEqual(before);
      }),
      { seed: 1, numRuns: 12 },
    );
  });

  test('everything a point higher: differences, p and verdicts stay; a listener’s own level doesn’t count', () => {
    fc.assert(
      fc.property(study, (wish) => {
        const { plan, outcomes } = play(wish);
        const before = firstImpressions.analyse(outcomes, plan).results;
        const shifted = outcomes.map((one) => ({
          ...one,
          value: one.value + 1 + one.listener.length + Number(one.listener.slice(-1)),
        }));
        firstImpressions.analyse(shifted, plan).results.forEach((result, i) => {
          expect(result.verdict).toBe(before[i]?.verdict);
          result.ratings?.scales.forEach((scale, k) => {
            const old = before[i]?.ratings?.scales[k];
            scale.pairs.forEach((pair, n) => {
              expect(pair.p ?? -1).toBeCloseTo(old?.pairs[n]?.p ?? -1, 9);
              expect(pair.difference?.value ?? -1).toBeCloseTo(old?.pairs[n]?.difference?.value ?? -1, 9);
            });
          });
        });
      }),
      { seed: 1, numRuns: 12 },
    );
  });

  test('never a figure that is none, and a verdict whatever is missing', () => {
    fc.assert(
      fc.property(study, (wish) => {
        const { plan, outcomes } = play({ ...wish, lost: Math.max(wish.lost, 0.2) });
        const text = JSON.stringify(firstImpressions.analyse(outcomes, plan), (_key, value: unknown) =>
          typeof value === 'number' && !Number.isFinite(value) ? 'BROKEN' : value,
        );
        expect(text).not.toContain('BROKEN');
      }),
      { seed: 2, numRuns: 40 },
    );
  });
});
