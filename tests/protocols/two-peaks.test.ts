import { expect, test } from 'vitest';
import { overCells, twoPeaks } from '../../protocols/two-peaks';
import { seededRandom } from '../../stats/seeded-random';

test('half love it and half hate it', () => {
  const halves = [1, 1, 2, 1, 2, 2, 9, 9, 8, 9, 8, 8];
  expect(twoPeaks(halves, 1)).toBe(true);
  expect(
    twoPeaks(
      halves.map((value) => 12 * value),
      12,
    ),
  ).toBe(true);
});

test('one place, however narrow, skewed or at an end', () => {
  expect(twoPeaks([5, 5, 5, 5, 5, 5, 5, 5, 5, 5], 1)).toBe(false);
  expect(twoPeaks([9, 9, 9, 9, 9, 8, 8, 7, 6, 4, 9, 9], 1)).toBe(false);
  expect(twoPeaks([3, 4, 4, 5, 5, 5, 6, 6, 7, 5, 4, 6], 1)).toBe(false);
});

test('too few for two camps', () => {
  expect(twoPeaks([1, 1, 1, 9, 9, 9, 9], 1)).toBe(false);
});

test('answers that are all alike likely are seldom called two-peaked; 8 and 30 listeners', () => {
  const random = seededRandom('flat');
  for (const n of [8, 30]) {
    let found = 0;
    for (let panel = 0; panel < 400; panel++) {
      if (
        twoPeaks(
          Array.from({ length: n }, () => 1 + random.below(9)),
          1,
        )
      )
        found++;
    }
    expect(found / 400).toBeLessThan(0.07);
  }
});

test('values of a cell are spread over it; a half goes up', () => {
  expect(overCells([3, 3, 5], 1)).toEqual([2.75, 3.25, 5]);
  expect(overCells([2.5, 3], 1)).toEqual([2.75, 3.25]);
  expect(overCells([31, 48], 20)).toEqual([35, 45]);
});
