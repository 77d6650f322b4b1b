import { expect, test } from 'vitest';
import { ringShare } from '../../../client/phone/ring';

test('the ring fills evenly and then stays full', () => {
  expect([0, 2_500, 5_000, 10_000, 60_000].map((passed) => ringShare(passed, 10_000, false))).toEqual([
    0, 0.25, 0.5, 1, 1,
  ]);
  expect(ringShare(-5, 10_000, false)).toBe(0);
  expect(ringShare(0, 0, false)).toBe(1);
});

test('for whoever wants no motion it changes by quarters, and is full only at the end', () => {
  expect([0, 2_499, 2_500, 9_999, 10_000].map((passed) => ringShare(passed, 10_000, true))).toEqual([
    0, 0, 0.25, 0.75, 1,
  ]);
});
