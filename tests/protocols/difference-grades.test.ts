import { describe, expect, test } from 'vitest';
import { differenceGrades, hiddenReferenceIn, screenedByReference } from '../../protocols/difference-grades';
import { methodOf } from '../../protocols/index';
import type { Outcome } from '../../protocols/protocol';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { graded, gradedPanel } from './graded';
import { wholeStudy } from './whole-study';

const options = { scale: 'impairment', open: 'a' };
const gradesOf = (listener: string, words: string) => differenceGrades(graded(listener, words, options), 'proto-a');
const valuesOf = (words: string) => gradesOf('heron', words).map(({ value }) => value);

test('the other less the hidden reference of its trial, whichever came first, to one decimal', () => {
  // 4.3 − 5.0 is −0.7000000000000002 as numbers are kept.
  expect(valuesOf('a5.0 b4.3 / c5.0 a4.1 / b3.3 a3.3')).toEqual([-0.7, 0.9, 0]);
  const [one] = gradesOf('heron', 'a5.0 b4.3');
  expect(one?.prototypes[one.place ?? 0]).toBe('proto-b');
  // One grade alone has nothing to be held against.
  expect(valuesOf('b4.3 | a5.0')).toEqual([]);
});

test('how often the hidden reference was told from the other', () => {
  const grades = gradesOf('heron', 'a5.0 b4.3 / b5.0 a5.0 / a4.0 b5.0 / a5.0 c4.9');
  expect(hiddenReferenceIn(grades)).toEqual({ trials: 4, told: 2, same: 1, misjudged: 1 });
});

describe('whom the rule of BS.1116-3 leaves out: a one-sided t test at 95 % (from memory)', () => {
  /** With two degrees of freedom the lower tail is (1 − |t|/√(2 + t²))/2 (Student 1908, Biometrika 6:1–25). */
  const tail = (t: number) => (1 - t / Math.sqrt(2 + t * t)) / 2;

  test('−1, −2 and −3 tell it: t = 2√3, p 0.037; −1, −2 and −4 don’t: t = √7, p 0.059', () => {
    expect(tail(2 * Math.sqrt(3))).toBeCloseTo(0.0371, 4);
    expect(screenedByReference(gradesOf('heron', 'a5.0 b4.0 / c3.0 a5.0 / a5.0 b2.0')).dropped).toEqual([]);
    expect(screenedByReference(gradesOf('heron', 'a5.0 b4.0 / c3.0 a5.0 / a5.0 b1.0')).dropped).toEqual([
      { listener: 'heron', misses: 0, of: 3, p: expect.closeTo(tail(Math.sqrt(7)), 12) },
    ]);
  });

  test.each([
    ['who grades the other higher throughout', 'a4.0 b5.0 / c5.0 a3.0 / a2.0 b5.0', 3],
    ['who says of all that they are alike', 'a5.0 b5.0 / c5.0 a5.0 / a5.0 b5.0', 0],
    ['who gave two', 'a5.0 b4.0 / c4.0 a5.0', 0],
  ])('%s is left out', (_, words, misses) => {
    expect(screenedByReference(gradesOf('heron', words)).dropped).toMatchObject([{ misses }]);
  });

  test('who always finds the same loss tells it, though there is nothing to test', () => {
    expect(screenedByReference(gradesOf('heron', 'a5.0 b4.5 / c4.5 a5.0 / a5.0 b4.5')).dropped).toEqual([]);
  });

  test('all samples count alike: however they are called, the same are left out', () => {
    const random = seededRandom('rule');
    const swapped = { 'proto-b': 'proto-c', 'proto-c': 'proto-b' } as Record<string, string>;
    for (let round = 0; round < 20; round++) {
      const lines = Array.from({ length: 6 }, () =>
        ['b', 'c', 'b', 'c'].map((one) => `a5.0 ${one}${(3.5 + random.below(20) / 10).toFixed(1)}`).join(' / '),
      );
      const grades = differenceGrades(gradedPanel(lines, options), 'proto-a');
      const renamed = grades.map((one) => ({
        ...one,
        prototypes: one.prototypes.map((id) => swapped[id] ?? id) as Outcome['prototypes'],
      }));
      expect(screenedByReference(renamed)).toEqual(screenedByReference(grades));
    }
  });
});

describe('the verdict', () => {
  const plan = aPlan({ method: 'small-impairments', prototypes: 3, rounds: 1, audiences: [['home', 3]] });
  const lines = ['a5.0 b4.0 / c4.5 a5.0', 'b3.0 a5.0 / a4.9 c4.9', 'a5.0 b3.5 / a5.0 c4.9'];
  const studied = (of = plan) => methodOf(of).protocol.analyse(gradedPanel(lines, options), of).results[0];

  test('against the reference: listeners’ mean difference grades against 0', () => {
    // −1, −2 and −1.5: mean −1.5, standard error 0.5/√3.
    const result = studied();
    const [pair] = result?.ratings?.scales[0]?.pairs ?? [];
    expect(pair).toMatchObject({ first: 'proto-a', second: 'proto-b', degreesOfFreedom: 2 });
    expect(pair?.difference?.value).toBeCloseTo(1.5, 12);
    const t = 1.5 / (0.5 / Math.sqrt(3));
    expect(result?.p).toBeCloseTo(1 - t / Math.sqrt(2 + t * t), 10);
    expect(result).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-a' });
    expect(result?.ratings?.hiddenReference).toEqual({ trials: 6, told: 5, same: 1, misjudged: 0 });
  });

  test('between two others: the difference of these means; the reference has none of its own', () => {
    const [scale] =
      studied(aPlan({ ...{ method: 'small-impairments', prototypes: 3 }, primary: [1, 2] }))?.ratings?.scales ?? [];
    // b less c: −1 + 0.5, −2 + 0, −1.5 + 0.1.
    expect(scale?.pairs[0]?.difference?.value).toBeCloseTo(-3.9 / 3, 12);
    expect(scale?.means.map(({ prototype, value }) => [prototype, Number(value.toFixed(12))])).toEqual([
      ['proto-b', -1.5],
      ['proto-c', -0.2],
    ]);
    expect(scale?.model).toMatchObject({ fixed: [], random: [], residual: null, reason: null });
  });

  test('planted: what is 0.6 grades worse is found, and by whom the rule keeps, too', () => {
    const ratings = { impairment: { 'proto-a': 2, 'proto-b': 1.4 } };
    const truth = { ratings, residualSd: 0.4, interactionSd: 0.2, positionBias: 0.3 };
    const planted = aPlan({ method: 'small-impairments', rounds: 5, screening: true, audiences: [['home', 12]] });
    const [result] = methodOf(planted).protocol.analyse(wholeStudy(planted, [truth], 'planted'), planted).results;
    expect(result).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-a' });
    expect(result?.ratings?.screening).toMatchObject({ rule: 'reference-told', verdictOfAll: 'difference-shown' });
  });
});
