import { expect, test } from 'vitest';
import { ratingsBySitting } from '../../protocols/ratings-by-sitting';
import type { PrototypeId } from '../../shared/brands';
import { panel } from './rated';

const ab = ['proto-a', 'proto-b'] as PrototypeId[];

test('mean over listeners of their own mean, in their first and second sitting', () => {
  // First: a is (1 + 2)/2 and 4, so 2.75; b is 3 and 5. Second: only the first listener came.
  const rated = panel(['a1 b3 a2 | a2 b2', 'a4 b5']);
  expect(ratingsBySitting(rated, 'liking', ab)).toEqual([
    { sitting: 1, prototype: 'proto-a', mean: 2.75, listeners: 2 },
    { sitting: 1, prototype: 'proto-b', mean: 4, listeners: 2 },
    { sitting: 2, prototype: 'proto-a', mean: 2, listeners: 1 },
    { sitting: 2, prototype: 'proto-b', mean: 2, listeners: 1 },
  ]);
});

test('other scales are passed over, and nothing comes of nothing', () => {
  expect(ratingsBySitting(panel(['a1 b3'], 'home', 'bass'), 'liking', ab)).toEqual([]);
  expect(ratingsBySitting([], 'liking', ab)).toEqual([]);
});

test('the order of arrival moves no digit', () => {
  const rated = panel(['a1 b3 a2', 'a4 b5 b4', 'a3 b1 a1', 'a0 b2']);
  expect(ratingsBySitting(rated.toReversed(), 'liking', ab)).toEqual(ratingsBySitting(rated, 'liking', ab));
});
