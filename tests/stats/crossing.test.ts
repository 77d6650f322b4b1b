import fc from 'fast-check';
import { expect, test } from 'vitest';
import { crossing } from '../../stats/crossing';

test('the first double at which a condition holds', () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-300, max: 1, noNaN: true }), (edge) => {
      expect(crossing(0, 1, (x) => x >= edge)).toBe(edge);
    }),
    { seed: 1, numRuns: 300 },
  );
});

test('a condition that holds nowhere below the upper end, or everywhere above the lower', () => {
  expect(crossing(0, 3, () => false)).toBe(3);
  expect(crossing(2, 3, () => true)).toBe(2 + 2 ** -51);
});
