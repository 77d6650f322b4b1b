import { expect, test } from 'vitest';
import { stepAt } from '../../../client/phone/grade-line';

test('a place on a line is the nearest step, and beyond its ends the end', () => {
  expect([0, 0.005, 0.43, 0.999, 1].map((share) => stepAt(share, 100))).toEqual([0, 1, 43, 100, 100]);
  expect([-0.2, 1.3].map((share) => stepAt(share, 40))).toEqual([0, 40]);
});
