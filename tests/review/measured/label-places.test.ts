import { expect, test } from 'vitest';
import { labelPlaces } from '../../../server/review/measured/label-places';

const within = { width: 400, height: 300 };
const mark = (x: number, y: number, words = 'Alder') => ({ x, y, words, mark: 7 });

test('words stand to the right, and to the left at the right edge', () => {
  expect(labelPlaces([mark(100, 100), mark(390, 200)], within)).toEqual([
    { anchor: 'start', dx: 11, dy: 0 },
    { anchor: 'end', dx: -11, dy: 0 },
  ]);
});

test('of marks side by side no words cover another’s mark or words', () => {
  const [first, second, third] = labelPlaces([mark(100, 100), mark(125, 100), mark(110, 112)], within);
  expect(first?.anchor).toBe('end');
  expect(second?.anchor).toBe('start');
  expect(third).not.toEqual({ anchor: 'start', dx: 11, dy: 0 });
  expect(labelPlaces([], within)).toEqual([]);
});
