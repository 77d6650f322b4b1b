import { expect, test } from 'vitest';
import { estimateDifference } from '../../protocols/estimate-difference';
import type { Estimate } from '../../protocols/results';
import { proportionInterval } from '../../stats/proportion-interval';

const share = (correct: number, trials: number): Estimate => {
  const { lower, upper } = proportionInterval({ correct, trials, method: 'wilson', level: 0.95 });
  return { name: 'share', value: correct / trials, lower, upper, level: 0.95 };
};

test('of two shares with score limits: 56 of 70 against 48 of 80', () => {
  // Newcombe (1998), Statistics in Medicine 17:873–890, table II, contrast (a), method 10: 0.0524 to 0.3339; from memory.
  const found = estimateDifference(share(56, 70), share(48, 80));
  expect(found?.value).toBeCloseTo(0.2, 12);
  expect(found?.lower).toBeCloseTo(0.0524, 4);
  expect(found?.upper).toBeCloseTo(0.3339, 4);
});

test('turned round, signs and limits turn', () => {
  const [one, other] = [share(12, 20), share(3, 15)];
  const [there, back] = [estimateDifference(one, other), estimateDifference(other, one)];
  expect([back?.value, back?.lower, back?.upper]).toEqual([
    -(there?.value ?? 0),
    -(there?.upper ?? 0),
    -(there?.lower ?? 0),
  ]);
});

test('of symmetric intervals it is the root of the squares', () => {
  const at = (value: number, half: number): Estimate => ({
    name: 'points',
    value,
    lower: value - half,
    upper: value + half,
    level: 0.9,
  });
  expect(estimateDifference(at(2, 0.3), at(1, 0.4))).toMatchObject({ value: 1, lower: 0.5, upper: 1.5, level: 0.9 });
});

test('without one of the two there is none, and two levels are refused', () => {
  expect(estimateDifference(share(1, 2), null)).toBeNull();
  expect(() => estimateDifference(share(1, 2), { ...share(1, 2), level: 0.9 })).toThrow('one level');
});
