import { expect, test } from 'vitest';
import { holm } from '../../protocols/holm';
import { weightedHolm } from '../../protocols/weighted-holm';
import { seededRandom } from '../../stats/seeded-random';

test('with equal weights it is Holm’s procedure', () => {
  const random = seededRandom(3);
  for (let i = 0; i < 50; i++) {
    const p = Array.from({ length: 1 + random.below(6) }, () => random.uniform() ** 3);
    const got = weightedHolm(p.map((one) => ({ p: one, weight: 0.5 })));
    holm(p).forEach((one, j) => {
      expect(got[j]).toBeCloseTo(one as number, 12);
    });
  }
  expect(weightedHolm([])).toEqual([]);
});

test('a weight of one half asks for α/2 first; worked out by hand', () => {
  // p/w: 0.04, 0.08, 0.2. First 0.02/0.5 · 1; then 0.02/0.25 · 0.5; then 0.05/0.25 · 0.25.
  const family = [
    { p: 0.02, weight: 0.5 },
    { p: 0.02, weight: 0.25 },
    { p: 0.05, weight: 0.25 },
  ];
  const rounded = (values: number[]) => values.map((value) => Number(value.toFixed(12)));
  expect(rounded(weightedHolm(family))).toEqual([0.04, 0.04, 0.05]);
  expect(rounded(weightedHolm(family.toReversed()))).toEqual([0.05, 0.04, 0.04]);
  // Never below the one before, never over 1.
  expect(
    rounded(
      weightedHolm([
        { p: 0.3, weight: 0.9 },
        { p: 0.9, weight: 0.1 },
      ]),
    ),
  ).toEqual([0.333333333333, 0.9]);
  expect(
    weightedHolm([
      { p: 0.9, weight: 0.5 },
      { p: 0.6, weight: 0.5 },
    ]),
  ).toEqual([1, 1]);
});

test('where nothing is there, any false claim comes in α of families at most, whatever the weights', () => {
  const random = seededRandom(9);
  const weights = [0.5, 0.2, 0.2, 0.1];
  let claims = 0;
  const families = 4000;
  for (let i = 0; i < families; i++) {
    const corrected = weightedHolm(weights.map((weight) => ({ p: random.uniform(), weight })));
    if (corrected.some((p) => p <= 0.05)) claims++;
  }
  // 1 − Π(1 − 0.05·w) = 4.91 %, a standard error of 0.34 %.
  expect(Math.abs(claims / families - 0.0491)).toBeLessThan(0.014);
});
