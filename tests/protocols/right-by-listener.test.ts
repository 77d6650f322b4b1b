import { describe, expect, test } from 'vitest';
import { guessingBetween, rightByListener } from '../../protocols/right-by-listener';
import { seededRandom } from '../../stats/seeded-random';
import { rightPanel } from './right-panel';

test('guessers come to lie where the binomial table has them', () => {
  // P(X ≤ 1) = P(X ≥ 9) = 11/1024 of ten tosses, and 56/1024 with the next; by hand.
  expect(guessingBetween(10, 0.5)).toEqual({ lower: 2, upper: 8 });
  expect(guessingBetween(1, 0.5)).toEqual({ lower: 0, upper: 1 });
  // Nobody guesses all of four triangles right more often than in 1 of 81, and three or more in 9 of 81; by hand.
  expect(guessingBetween(4, 1 / 3)).toEqual({ lower: 0, upper: 3 });
});

test('counts and p of each listener, corrected by Holm', () => {
  const panel = rightPanel([5, 3], 5);
  const { listeners, told, panelP } = rightByListener(panel, 0.5, 0.05);
  expect(listeners.map(({ correct, trials }) => [correct, trials])).toEqual([
    [5, 5],
    [3, 5],
  ]);
  // 1/32 and 16/32, by hand; the smaller times two.
  expect(listeners.map(({ p }) => p)).toEqual([1 / 32, 0.5]);
  expect(listeners.map(({ pAdjusted }) => pAdjusted)).toEqual([1 / 16, 0.5]);
  // 8 or more of ten: 56/1024.
  expect(panelP).toBeCloseTo(56 / 1024, 12);
  expect(told).toBe(false);
  expect(rightByListener([], 0.5, 0.05)).toEqual({ panelP: 1, told: false, listeners: [] });
});

describe('notes; 10 listeners, 24 trials each, right in 85 of 100', () => {
  const shares = (first: number, others = 0.85) =>
    Array.from({ length: 200 }, (_, i) => {
      const random = seededRandom(`${first} ${others} ${i}`);
      const right = Array.from({ length: 10 }, (_, n) => {
        let count = 0;
        for (let t = 0; t < 24; t++) if (random.uniform() < (n === 0 ? first : others)) count++;
        return count;
      });
      return rightByListener(rightPanel(right, 24), 0.5, 0.05).listeners.map(({ note }) => note);
    });
  const share = (all: (string | null)[][], is: (notes: (string | null)[]) => boolean) =>
    all.filter(is).length / all.length;

  test('who answers the other way round is found', () => {
    const all = shares(0.15);
    expect(share(all, ([first]) => first === 'the-other-way')).toBeGreaterThan(0.9);
    expect(share(all, ([, ...others]) => others.some(Boolean))).toBeLessThan(0.03);
  });

  test('who guesses is found in most', () => {
    expect(share(shares(0.5), ([first]) => first === 'at-random')).toBeGreaterThan(0.6);
  });

  test('who hears it as the others do hardly ever has a note, and where nobody hears it nobody has', () => {
    expect(share(shares(0.85), (notes) => notes.some(Boolean))).toBeLessThan(0.05);
    expect(share(shares(0.5, 0.5), (notes) => notes.some(Boolean))).toBeLessThan(0.03);
  });
});
