import { describe, expect, test } from 'vitest';
import { protocolOf } from '../../protocols/index';
import type { Outcome } from '../../protocols/protocol';
import type { AudienceResult } from '../../protocols/results';
import type { Plan } from '../../shared/plan';
import { aNotA as counted } from '../../stats/a-not-a';
import { fisherUpper } from '../../stats/fisher-exact';
import { sameDifferent as countedPairs } from '../../stats/same-different';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { saidYesNo, yesNoPanel } from './answered-yes-no';
import { designsOf, quickRandomness, wholeStudy } from './whole-study';

const methods = ['same-different', 'a-not-a'] as const;

const analysed = (outcomes: readonly Outcome[], plan: Plan) => protocolOf(plan.method.id).analyse(outcomes, plan);
const result = (outcomes: readonly Outcome[], plan: Plan, audience = 0) =>
  analysed(outcomes, plan).results[audience] as AudienceResult;

test.each(methods)('%s: one sitting is Fisher’s exact test', (method) => {
  const plan = aPlan({ method, trials: 8 });
  const { p } = result(yesNoPanel(plan, ['YYYNynnn']), plan);
  expect(p).toBeCloseTo(fisherUpper(3, 4, 1, 4), 12);
});

test.each(methods)('%s: sittings are compared with themselves, each by how often it said yes', (method) => {
  const plan = aPlan({ method, trials: 6, sessions: 2 });
  // In both sittings the yes answers all fall on the kind of which yes is true: one way of C(6,3) = 20, and of C(6,1) = 6.
  const { p, n } = result(yesNoPanel(plan, ['YYYnnn YNNnnn']), plan);
  expect(p).toBeCloseTo((1 / 20) * (3 / 6), 12);
  expect(n).toEqual({ listeners: 1, trials: 12, days: 2, units: 0 });
  // Together they would be 4 hits and no false alarm: C(6,4) of C(12,4).
  expect(p).not.toBeCloseTo(fisherUpper(4, 6, 0, 6), 3);
});

test.each(methods)('%s: whoever is ready for one answer tells nothing, and hurts nobody', (method) => {
  const plan = aPlan({ method, trials: 6 });
  const some = ['YYYnnn', 'YYNnnn', 'YYYnny'];
  const { p } = result(yesNoPanel(plan, some), plan);
  const more = result(yesNoPanel(plan, [...some, 'YYYyyy', 'NNNnnn']), plan);
  expect(more.p).toBeCloseTo(p as number, 12);
  expect(more.verdict).toBe('difference-shown');
});

describe('figures', () => {
  test('A–not-A: rates, distance and criterion as the published model has them, log-linear', () => {
    const plan = aPlan({ method: 'a-not-a', trials: 8 });
    const { yesNo, estimate } = result(yesNoPanel(plan, ['YYYNynnn', 'YYNNyynn', 'YYYYnnnn']), plan);
    const same = counted({ hits: 9, signalTrials: 12, falseAlarms: 3, noiseTrials: 12 });
    expect(yesNo).toMatchObject({ hits: 9, signalTrials: 12, falseAlarms: 3, noiseTrials: 12 });
    expect(yesNo?.hitRate?.value).toBe(0.75);
    expect(yesNo?.falseAlarmRate?.value).toBe(0.25);
    expect(yesNo?.dPrime?.value).toBeCloseTo(same.dPrime, 12);
    expect(yesNo?.criterion).toBeCloseTo(same.criterion, 12);
    // Over listeners: 2/4, 0 and 4/4 oftener.
    expect(yesNo?.apart?.value).toBeCloseTo((0.5 + 0 + 1) / 3, 12);
    expect(estimate).toEqual(yesNo?.dPrime);
    expect(estimate).toMatchObject({ name: 'd-prime', level: 0.95 });
    expect(yesNo?.listeners).toEqual([
      { listener: 'L1', hits: 3, signalTrials: 4, falseAlarms: 1, noiseTrials: 4 },
      { listener: 'L2', hits: 2, signalTrials: 4, falseAlarms: 2, noiseTrials: 4 },
      { listener: 'L3', hits: 4, signalTrials: 4, falseAlarms: 0, noiseTrials: 4 },
    ]);
  });

  test('same–different: by the differencing rule; the criterion beside the one that is right most often', () => {
    const plan = aPlan({ method: 'same-different', trials: 8 });
    const { yesNo } = result(yesNoPanel(plan, ['YYYNynnn', 'YYNNynnn', 'YYYYynnn']), plan);
    const same = countedPairs({
      differentSaidDifferent: 9,
      differentPairs: 12,
      sameSaidDifferent: 3,
      samePairs: 12,
      correction: 'log-linear',
    });
    expect(yesNo?.dPrime?.value).toBeCloseTo(same.dPrime as number, 12);
    const best = (same.tau as number) - (yesNo?.criterion as number);
    const d = same.dPrime as number;
    expect(Math.cosh((d * best) / 2)).toBeCloseTo(Math.exp((d * d) / 4), 9);
  });

  test.each(methods)('%s: who says no to everything has a criterion over 0, who says yes one under', (method) => {
    const plan = aPlan({ method, trials: 6 });
    expect(result(yesNoPanel(plan, ['NNNnnn', 'YNNnnn']), plan).yesNo?.criterion as number).toBeGreaterThan(0.3);
    expect(result(yesNoPanel(plan, ['YYYyyy', 'YYYyyn']), plan).yesNo?.criterion as number).toBeLessThan(-0.3);
  });

  test.each(methods)(
    '%s: the interval holds the estimate, is no point where all are alike, and narrows with listeners',
    (method) => {
      const plan = aPlan({ method, trials: 8 });
      const width = (lines: string[]) => {
        const { lower, upper, value } = result(yesNoPanel(plan, lines), plan).estimate as NonNullable<
          AudienceResult['estimate']
        >;
        expect(lower).toBeLessThanOrEqual(value);
        expect(upper).toBeGreaterThanOrEqual(value);
        return upper - lower;
      };
      const few = width(Array(3).fill('YYYNynnn'));
      expect(few).toBeGreaterThan(0.5);
      expect(width(Array(24).fill('YYYNynnn'))).toBeLessThan(few);
      expect(width(['YYYNynnn'])).toBeGreaterThan(few);
      // Listeners who differ leave more open than as many alike.
      const unlike = Array.from({ length: 12 }, (_, i) => (i % 2 === 0 ? 'YYYYnnnn' : 'YYNNyynn'));
      expect(width(unlike)).toBeGreaterThan(width(Array(12).fill('YYYNynnn')));
    },
  );
});

test.each(methods)('%s: names of listeners and the order of arrival move no digit', (method) => {
  const plan = aPlan({ method, trials: 6 });
  const outcomes = yesNoPanel(plan, ['YYNnyn', 'YYYnny', 'NYYnnn', 'YNYyny']);
  const whole = result(outcomes, plan);
  expect(result(outcomes.toReversed(), plan)).toEqual(whole);
});

test.each(methods)('%s: audiences are corrected by Holm, and none is pooled', (method) => {
  const plan = aPlan({
    method,
    trials: 6,
    audiences: [
      ['home', 2],
      ['stage', 2],
    ],
  });
  const outcomes = [
    ...saidYesNo(plan, 'L1', 'YYYnnn'),
    ...saidYesNo(plan, 'L2', 'YYYnnn'),
    ...saidYesNo(plan, 'L3', 'YYNnyn', 'stage'),
    ...saidYesNo(plan, 'L4', 'YYYnnn', 'stage'),
  ];
  const { results, interaction } = analysed(outcomes, plan);
  const [home, stage] = results as [AudienceResult, AudienceResult];
  expect(home.p).toBeCloseTo(1 / 400, 12);
  expect(home.pAdjusted).toBeCloseTo(2 / 400, 12);
  // The other's p is larger and left as it is: 1/20 for the one, and 3 of 3 hits or 2: (9 + 1)/20 for the other, so
  // P(sum ≥ 5) = 1/20·10/20 + 9/20·1/20.
  expect(stage.p).toBeCloseTo(10 / 400 + 9 / 400, 12);
  expect(stage.pAdjusted).toBeCloseTo(19 / 400, 12);
  expect(results.map(({ verdict }) => verdict)).toEqual(['difference-shown', 'difference-shown']);
  expect(interaction?.of).toBe('apart');
});

describe('verdicts', () => {
  test.each(methods)(
    '%s: a single sitting of six without a mistake is just not enough with two audiences',
    (method) => {
      const one = aPlan({ method, trials: 6, audiences: [['home', 1]] });
      // 1 of C(6,3) = 20 orders: 0.05.
      expect(result(saidYesNo(one, 'L1', 'YYYnnn'), one)).toMatchObject({ verdict: 'difference-shown', p: 0.05 });
      expect(result(saidYesNo(one, 'L1', 'YYNnnn'), one)).toMatchObject({ verdict: 'undecided' });
      const two = aPlan({
        method,
        trials: 6,
        audiences: [
          ['home', 1],
          ['stage', 1],
        ],
      });
      const both = [...saidYesNo(two, 'L1', 'YYYnnn'), ...saidYesNo(two, 'L2', 'YNNynn', 'stage')];
      expect(result(both, two)).toMatchObject({ verdict: 'not-enough-data' });
    },
  );

  test.each(methods)('%s: undecided says what is still possible and what would settle it', (method) => {
    const plan = aPlan({ method, trials: 6, audiences: [['home', 4]] });
    const open = result(yesNoPanel(plan, ['YYNnyn', 'YNNnnn', 'YNYyny', 'NYNnyn']), plan);
    expect(open.verdict).toBe('undecided');
    expect(open.alsoPossible?.upper).toBe(open.estimate?.upper);
    expect(open.wouldSettle?.listeners as number).toBeGreaterThan(4);
    expect(open.power).toBeGreaterThan(0);
    expect(open.power).toBeLessThan(0.8);
    expect(open.yesNo?.misses.map(({ dPrime }) => dPrime)).toEqual([0.5, 1, 1.5, 2, 3]);
  });

  test.each(methods)('%s: the answers the wrong way round show nothing', (method) => {
    const plan = aPlan({ method, trials: 6 });
    expect(result(yesNoPanel(plan, Array(6).fill('NNNyyy')), plan)).toMatchObject({ verdict: 'undecided', p: 1 });
  });
});

test('warnings: listeners missing, one unit each, and answers that are all alike', () => {
  const plan = aPlan({ method: 'same-different', trials: 6, audiences: [['home', 4]] });
  expect(result(yesNoPanel(plan, ['YYYyyy', 'NNNnnn']), plan).warnings).toEqual([
    'fewer-listeners:2:4',
    'these-units-only:2:2',
    'all-alike',
  ]);
  expect(result([], plan).warnings).toEqual(['fewer-listeners:0:4', 'these-units-only:2:2']);
});

test.each(methods)('%s: for simulated panels the same verdict and p, and nothing that takes long', (method) => {
  const plan = aPlan({ method, trials: 6, audiences: [['home', 6]] });
  const outcomes = wholeStudy(plan, [{ listenersWhoHear: 1, dPrime: 1.5 }], 'quick');
  const { protocol } = { protocol: protocolOf(method) };
  const [quick] = protocol.analyse(outcomes, plan, { verdictOnly: true }).results;
  const [whole] = protocol.analyse(outcomes, plan).results;
  expect(quick).toMatchObject({ verdict: whole?.verdict, p: whole?.p, pAdjusted: whole?.pAdjusted });
  expect(quick?.yesNo).toBeUndefined();
});

/** What somebody who hears nothing says, trial by trial: habits that the test must bear. */
const habits: Record<string, (i: number, trials: number, said: readonly boolean[], draw: () => number) => boolean> = {
  'yes at first, then no': (i, trials) => i < trials / 2,
  'by turns': (i) => i % 2 === 0,
  'half and half, as the plan has it': (i, trials, said, draw) =>
    draw() < (trials / 2 - said.filter(Boolean).length) / (trials - i),
};

test.each(Object.entries(habits))('nobody hears anything and says %s: found with α at most', (name, says) => {
  let [found, studies] = [0, 0];
  for (const method of methods) {
    const plan = aPlan({ method, trials: 8, audiences: [['home', 4]] });
    for (let study = 0; study < 100; study++) {
      const randomness = quickRandomness(`${method} ${name} ${study}`);
      const { uniform: draw } = seededRandom(`${name} ${study}`);
      const outcomes = Array.from({ length: 4 }, (_, l) => {
        const designs = designsOf(
          plan,
          { audience: 'home' as Outcome['audience'], ordinal: l + 1, sitting: 1 },
          randomness,
        );
        const said: boolean[] = [];
        const letters = designs.slice(1).map(({ presentations: [one, other] }, i) => {
          const yes = says(i, 8, said, draw);
          said.push(yes);
          const signal = method === 'a-not-a' ? one === plan.primary.first : one !== other;
          return signal ? (yes ? 'Y' : 'N') : yes ? 'y' : 'n';
        });
        return saidYesNo(plan, `L${l}`, letters.join(''));
      }).flat();
      const [one] = protocolOf(method).analyse(outcomes, plan, { verdictOnly: true }).results;
      studies++;
      if (one?.verdict === 'difference-shown') found++;
    }
  }
  // 4 standard errors over α.
  expect(found / studies).toBeLessThan(0.05 + 4 * Math.sqrt((0.05 * 0.95) / studies));
});
