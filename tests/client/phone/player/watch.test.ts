import { expect, test } from 'vitest';
import { createStandstill, patience } from '../../../../client/phone/player/watch';

test('a clock that stands is found after the patience, one that goes never, and one that was forgotten starts anew', () => {
  let now = 0;
  const stands = createStandstill(() => now);
  expect(stands.look(5)).toBe(false);
  now = patience;
  expect(stands.look(5)).toBe(false);
  now = patience + 1;
  expect(stands.look(5)).toBe(true);
  expect(stands.look(5.01)).toBe(false);
  // A timer that came late while the clock went on is no standstill.
  now += 60_000;
  expect(stands.look(65)).toBe(false);
  now += patience + 1;
  stands.forget();
  expect(stands.look(65)).toBe(false);
});
