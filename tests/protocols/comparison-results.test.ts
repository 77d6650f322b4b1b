import { describe, expect, test } from 'vitest';
import { asScores } from '../../protocols/comparison-results';
import { methodOf } from '../../protocols/index';
import { meanOf } from '../../protocols/own-ratings';
import { aPlan } from '../blinding/a-plan';
import { gradedPanel } from './graded';
import { wholeStudy } from './whole-study';

const options = { scale: 'comparison' };
const two = aPlan({ method: 'comparison-rating', audiences: [['home', 3]] });
const studied = (lines: string[], of = two, identical: string[] = []) => {
  const controls = gradedPanel(identical, options).map((one) => ({ ...one, control: 'identicalPairs' as const }));
  return methodOf(of).protocol.analyse(gradedPanel(lines, options), of, { controls }).results[0];
};
/** Two-sided, with two degrees of freedom: 1 − |t|/√(2 + t²) (Student 1908, Biometrika 6:1–25). */
const pOf = (t: number) => 1 - Math.abs(t) / Math.sqrt(2 + t * t);

describe('two samples', () => {
  test('the sign is turned where the order was, and each listener counts by the mean of both orders', () => {
    // The second beside the first: a better by 1.5, 0.5 and 0.5; mean 5/6, standard deviation 1/√3, so t = 2.5.
    const result = studied(['a b-2 / b a1', 'b a0 / a b-1', 'a b0 / b a1']);
    expect(result?.estimate?.value).toBeCloseTo(5 / 6, 12);
    expect(result?.p).toBeCloseTo(pOf(2.5), 12);
    expect(result).toMatchObject({ n: { listeners: 3, trials: 6 } });
    expect(result?.ratings?.ratings).toBe(6);
    // Not turned: −0.5, −0.5 and 0.5.
    expect(result?.ratings?.orderEffect?.mean?.value).toBeCloseTo(-1 / 6, 12);
    expect(result?.ratings?.orderEffect).toMatchObject({ listeners: 3, nullPairs: null });
  });

  test('an order that was heard oftener weighs no more', () => {
    // a b: −2 and 0, so −1; b a: 3: a is better by 2, and hearing second adds 1.
    const result = studied(['a b-2 / b a3 / a b0', 'a b-1 / b a1', 'a b0 / b a0']);
    expect(result?.estimate?.value).toBeCloseTo((2 + 1 + 0) / 3, 12);
    expect(result?.ratings?.orderEffect?.mean?.value).toBeCloseTo((1 + 0 + 0) / 3, 12);
  });

  test('who heard the pair one way round only says nothing of it', () => {
    const result = studied(['a b-2 / b a1', 'b a0 / a b-1', 'a b0 / b a1', 'a b-3 / a b-3']);
    expect(result?.estimate?.value).toBeCloseTo(5 / 6, 12);
    expect(result?.warnings).toContain('listeners-incomplete:1');
  });

  test('to grade whatever is second better moves no verdict, and is told', () => {
    const all = aPlan({ method: 'comparison-rating', rounds: 3, audiences: [['home', 12]] });
    const truth = { positionBias: -1.2, residualSd: 0.8, interactionSd: 0.2 };
    const outcomes = wholeStudy(all, [truth], 'order alone');
    const [result] = methodOf(all).protocol.analyse(outcomes, all).results;
    expect(result?.verdict).not.toBe('difference-shown');
    expect(Math.abs(result?.estimate?.value ?? 9)).toBeLessThan(0.3);
    expect(result?.ratings?.orderEffect?.mean?.value).toBeCloseTo(1.2, 0);
    expect(result?.ratings?.orderEffect?.p).toBeLessThan(0.001);
    expect(result?.warnings).toContain('order-effect');
    // Always one better, whatever comes second: exactly nothing between the two, and no spread to test.
    const pure = studied(['a b1 / b a1', 'b a1 / a b1', 'a b1 / b a1']);
    expect(pure).toMatchObject({ verdict: 'not-enough-data', estimate: null });
  });

  test('half for the one and half for the other by as much: nothing between the two, and two camps', () => {
    const panel = aPlan({ method: 'comparison-rating', audiences: [['home', 12]] });
    const lines = Array.from({ length: 12 }, (_, i) => (i % 2 === 0 ? 'a b2 / b a-2' : 'b a2 / a b-2'));
    const result = studied(lines, panel);
    expect(result?.estimate?.value).toBeCloseTo(0, 12);
    expect(result?.warnings).toContain('two-peaks:proto-a:comparison');
  });

  test('that units of one prototype aren’t told apart is said', () => {
    const units = aPlan({ method: 'comparison-rating', units: [2, 1], audiences: [['home', 3]] });
    expect(studied(['a b-2 / b a1', 'b a0 / a b-1', 'a b0 / b a1'], units)?.warnings).toContain('units-together:1:2');
    expect(studied(['a b-2 / b a1', 'b a0 / a b-1', 'a b0 / b a1'])?.warnings.join()).not.toContain('units-together');
  });

  test('pairs with one sample twice are told apart, and count for nothing else', () => {
    const lines = ['a b-2 / b a1', 'b a0 / a b-1', 'a b0 / b a1'];
    const result = studied(lines, two, ['a a1 / b b1', 'a a0 / b b1', 'b b0 / a a-3']);
    const { ratings, ...verdict } = studied(lines) ?? {};
    expect(result).toMatchObject(verdict);
    // 1, 0.5 and −1.5.
    expect(result?.ratings?.orderEffect?.nullPairs?.mean?.value).toBeCloseTo(0, 12);
    expect(result?.ratings?.orderEffect?.nullPairs).toMatchObject({ trials: 6 });
    expect(result?.ratings?.scales).toEqual(ratings?.scales);
  });
});

describe('three samples', () => {
  const three = aPlan({ method: 'comparison-rating', prototypes: 3, audiences: [['home', 3]] });
  // By how much the one is better: a than b 2, a than c 3, b than c 2 (and nothing of order).
  const lines = [
    'a b-2 / b a2 / a c-3 / c a3 / b c-2 / c b2',
    'a b-1 / b a1 / a c-2 / c a2 / b c-1 / c b1',
    'a b-3 / b a3 / a c-3 / c a3 / b c0 / c b0',
  ];

  test('pairs are compared directly and corrected by Holm; scores are least squares and sum to nothing', () => {
    const result = studied(lines, three);
    const [scale] = result?.ratings?.scales ?? [];
    expect(scale?.pairs.map(({ first, second }) => `${first} ${second}`)).toEqual([
      'proto-a proto-b',
      'proto-a proto-c',
      'proto-b proto-c',
    ]);
    expect(scale?.pairs.map(({ difference }) => Number(difference?.value.toFixed(10)))).toEqual([
      2,
      Number((8 / 3).toFixed(10)),
      1,
    ]);
    // (2 + 8/3)/3, (−2 + 1)/3, (−8/3 − 1)/3.
    const scores = scale?.means.map(({ value }) => value) ?? [];
    expect(scores).toEqual([14 / 9, -1 / 3, -11 / 9].map((value) => expect.closeTo(value, 12)));
    const [primary, ...others] = scale?.pairs ?? [];
    expect(primary?.pAdjusted).toBe(primary?.p);
    const least = Math.min(...others.map(({ p }) => p ?? 1));
    expect(Math.min(...others.map(({ pAdjusted }) => pAdjusted ?? 1))).toBeCloseTo(2 * least, 12);
  });

  test('as if each had been rated: means over comparisons are the scores', () => {
    const rated = asScores(gradedPanel(lines, options), three);
    expect(rated).toHaveLength(36);
    for (const [id, score] of [
      ['proto-a', 14 / 9],
      ['proto-b', -1 / 3],
      ['proto-c', -11 / 9],
    ] as const) {
      const own = rated.filter(({ prototypes, place = 0 }) => prototypes[place] === id).map(({ value }) => value);
      expect(meanOf(own)).toBeCloseTo(score, 12);
    }
  });

  test('planted: the order of three comes out, with listeners who lean to what is second', () => {
    const plan = aPlan({ method: 'comparison-rating', prototypes: 3, rounds: 2, audiences: [['home', 14]] });
    const ratings = { comparison: { 'proto-a': 0, 'proto-b': 1, 'proto-c': 2 } };
    const truth = { ratings, residualSd: 0.8, interactionSd: 0.3, positionBias: -0.6 };
    const [result] = methodOf(plan).protocol.analyse(wholeStudy(plan, [truth], 'three'), plan).results;
    const [scale] = result?.ratings?.scales ?? [];
    const [a, b, c] = scale?.means.map(({ value }) => value) ?? [];
    expect(a).toBeLessThan(b as number);
    expect(b).toBeLessThan(c as number);
    expect(result).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-b' });
    expect(result?.ratings?.orderEffect?.p).toBeLessThan(0.01);
  });
});
