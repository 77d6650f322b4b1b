import { describe, expect, test } from 'vitest';
import { comparedPlan } from '../../../protocols/controls';
import { methodOf } from '../../../protocols/index';
import type { AudienceResult, RatingDetail } from '../../../protocols/results';
import { sentenceOf } from '../../../server/review/sentence';
import type { ListenerId, PrototypeId } from '../../../shared/brands';
import type { Plan } from '../../../shared/plan';
import { type Verdict, verdicts } from '../../../shared/verdicts';
import { plain } from '../a-result';
import { type GradedMethod, gradedMethods, gradedPlan } from '../graded-plan';

const names = ['Master', 'Alder', 'Birch'];
const planOf = (method: GradedMethod, primary: [number, number] = [1, 2]): Plan =>
  gradedPlan(method, { names, primary });

/** A result of that method, with these figures in the place of its own. */
function resultOf(
  plan: Plan,
  verdict: Verdict,
  [value, lower, upper]: [number, number, number],
  detail: Partial<RatingDetail> = {},
): AudienceResult {
  const [empty] = methodOf(plan).protocol.analyse([], comparedPlan(plan), { resamples: 100 }).results;
  if (!empty?.ratings) throw new Error('Grades have ratings.');
  const estimate = { name: 'difference', value, lower, upper, level: 0.95 };
  return { ...empty, verdict, estimate, ratings: { ...empty.ratings, ...detail } };
}

const say = (plan: Plan, ...rest: [Verdict, [number, number, number], Partial<RatingDetail>?]) =>
  plain(sentenceOf(resultOf(plan, ...rest), plan));

describe('a difference, in the measure of each method', () => {
  test.each<[GradedMethod, [number, number, number], string]>([
    [
      'several-stimuli',
      [1.5, 0.4, 2.6],
      'Home: on the scale “Liking”, Alder is rated nearer to “like” than Birch, by 1.5 points on a scale of 7 (95 % interval 0.4 to 2.6).',
    ],
    [
      'reference-and-anchors',
      [12, 5, 19],
      'Home: Alder is rated above Birch, by 12.0 points out of 100 (95 % interval 5.0 to 19.0).',
    ],
    [
      'small-impairments',
      [-0.4, -0.7, -0.1],
      'Home: Birch is graded as less impaired than Alder, by 0.4 grades (95 % interval 0.1 to 0.7).',
    ],
    [
      'absolute-rating',
      [0.8, 0.2, 1.4],
      'Home: on the scale “Quality”, Alder is rated better than Birch, by 0.8 points on the scale from “bad”, 1, to “excellent”, 5 (95 % interval 0.2 to 1.4).',
    ],
    [
      'comparison-rating',
      [-0.8, -1.4, -0.2],
      'Home: Birch is rated better than Alder, by 0.8 steps on the scale from “much worse”, −3, to “much better”, +3 (95 % interval 0.2 to 1.4).',
    ],
    [
      'attribute-profile',
      [1.2, 0.3, 2.1],
      'Home: on the scale “Bass”, Alder is rated nearer to “much” than Birch, by 1.2 points on a scale of 7 (95 % interval 0.3 to 2.1).',
    ],
    [
      'just-about-right',
      [1.2, 0.3, 2.1],
      'Home: Alder is liked more than Birch, by 1.2 points on a scale of 9 (95 % interval 0.3 to 2.1).',
    ],
    [
      'check-all',
      [0.29, 0.14, 0.44],
      'Home: “harsh” is ticked more often for Alder than for Birch, by 29 percentage points (95 % interval 14 to 44).',
    ],
  ])('%s', (method, estimate, sentence) => {
    expect(say(planOf(method), 'difference-shown', estimate)).toBe(sentence);
  });

  test('against the hidden reference: below it, or above it', () => {
    const grades = planOf('small-impairments', [1, 0]);
    expect(say(grades, 'difference-shown', [-0.4, -0.6, -0.2])).toBe(
      'Home: Alder is graded below the hidden reference (Master), by 0.4 grades (95 % interval 0.2 to 0.6).',
    );
    const points = planOf('reference-and-anchors', [0, 2]);
    expect(say(points, 'difference-shown', [20, 12, 28])).toBe(
      'Home: Birch is rated below the hidden reference (Master), by 20.0 points out of 100 (95 % interval 12.0 to 28.0).',
    );
    expect(say(points, 'undecided', [-2, -12, 8])).toBe(
      'Home: it is undecided whether Master and Birch differ on the scale “Quality”. Birch was rated above the hidden reference (Master) by 2.0 points out of 100 (95 % interval −8.0 to 12.0).',
    );
  });

  test('a word that is ticked: by how many for each', () => {
    const share = (prototype: string, value: number) => ({
      prototype: prototype as PrototypeId,
      name: 'ticked',
      value,
      lower: 0,
      upper: 1,
      level: 0.95,
    });
    const word = { attribute: 'harsh', primary: true, listeners: 20, q: null, pairs: [], liking: null };
    const ticked = [{ ...word, shares: [share('proto-b', 0.41), share('proto-c', 0.12)] }];
    expect(say(planOf('check-all'), 'difference-shown', [0.29, 0.14, 0.44], { ticked })).toContain(
      '(95 % interval 14 to 44). It is ticked by 41 % for Alder and by 12 % for Birch.',
    );
    expect(say(planOf('check-all'), 'undecided', [-0.29, -0.64, 0.06], { ticked })).toMatch(
      /^Home: it is undecided whether Alder and Birch differ in how often “harsh” is ticked\. “harsh” was ticked more often for Birch than for Alder by 29 percentage points/,
    );
  });
});

describe.each(gradedMethods)('%s', (method) => {
  const plan = planOf(method);
  const wide: [number, number, number] = method === 'check-all' ? [0.1, -0.2, 0.4] : [0.1, -20, 30];
  const narrow: [number, number, number] = method === 'check-all' ? [0.02, -0.05, 0.09] : [0.02, -0.2, 0.24];

  test('every verdict has its sentence, with its interval, and none says that there is no difference', () => {
    for (const verdict of verdicts) {
      const sentence = say(plan, verdict, verdict === 'not-separated' ? narrow : wide);
      if (verdict === 'not-enough-data')
        expect(sentence).toMatch(/^There are not enough data from Home to say whether /);
      else expect(sentence).toMatch(/\(95 % interval \S+ to [^)]+\)/);
      expect(sentence).toMatch(/\.$/);
      expect(sentence).not.toMatch(/no difference|equal|identical|significant|NaN|undefined/i);
    }
  });

  test('not separated: every difference as large as the smallest is left out, in the same measure', () => {
    const smallest = {
      'reference-and-anchors': '10 points',
      'small-impairments': '0.5 grades',
      'comparison-rating': '0.5 steps',
      'absolute-rating': '0.5 points',
      'check-all': '30 percentage points',
    } as Partial<Record<GradedMethod, string>>;
    expect(say(plan, 'not-separated', narrow)).toContain(`Alder and Birch are not separated. `);
    expect(say(plan, 'not-separated', narrow)).toContain(
      `which leaves out every difference of ${smallest[method] ?? '1 point'} or more either way.`,
    );
  });

  test('exactly alike is said as it is', () => {
    const sentence = say(plan, 'undecided', [0, -wide[2], wide[2]]);
    expect(sentence).toMatch(/The two have the same mean|Neither comes out better|As much is lost|ticked as often/);
  });
});

describe('whom the rule of the plan leaves out', () => {
  const plan = planOf('reference-and-anchors');
  const pair = {
    first: 'proto-b' as PrototypeId,
    second: 'proto-c' as PrototypeId,
    difference: null,
    degreesOfFreedom: null,
    p: null,
    pAdjusted: null,
    byMeans: { difference: null, p: null },
  };
  const screening = (out: number): Partial<RatingDetail> => ({
    screening: {
      rule: 'reference-and-anchor',
      kept: 12 - out,
      dropped: Array.from({ length: out }, (_, i) => ({ listener: `L${i}` as ListenerId, misses: 2, of: 5, p: null })),
      all: pair,
      verdictOfAll: 'undecided',
    },
  });

  test('is said first, before anything that is found', () => {
    expect(say(plan, 'difference-shown', [12, 5, 19], screening(2))).toMatch(
      /^Home, without the 2 of 12 listeners whom the rule of the plan leaves out: Alder is rated above Birch/,
    );
    expect(say(plan, 'not-enough-data', [12, 5, 19], screening(11))).toMatch(
      /^There are not enough data from Home, without the 11 of 12 listeners whom the rule of the plan leaves out, to say whether/,
    );
  });

  test('is not spoken of where it leaves out nobody', () => {
    expect(say(plan, 'difference-shown', [12, 5, 19], screening(0))).toMatch(/^Home: Alder is rated above Birch/);
  });
});
