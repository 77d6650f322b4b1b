import fc from 'fast-check';
import { expect, test } from 'vitest';
import { allowedHours, dose, judgeDose, timeWeightedAverage } from '../../server/audio/dose';

const shareOf = (laeq: number, hours: number, scheme: 'week' | 'week-sensitive' | 'day') =>
  dose([{ laeq, hours }], scheme).share;

test('the week: 80 dBA for 40 hours is all of it, 75 dBA for sensitive ears (ITU-T H.870)', () => {
  expect(shareOf(80, 40, 'week')).toBe(1);
  expect(shareOf(75, 40, 'week-sensitive')).toBe(1);
});

test('the same as pascals: 1.6 and 0.506 Pa²h (ITU-T H.870), from 20 µPa', () => {
  const pascals = (laeq: number) => 20e-6 ** 2 * 10 ** (laeq / 10) * allowedHours(laeq, 'week');
  const sensitive = (laeq: number) => 20e-6 ** 2 * 10 ** (laeq / 10) * allowedHours(laeq, 'week-sensitive');
  for (const laeq of [60, 80, 94, 110]) {
    expect(pascals(laeq)).toBeCloseTo(1.6, 10);
    expect(sensitive(laeq)).toBeCloseTo(0.506, 3);
  }
});

// Allowed times worked out by hand from the two formulas; those of the day stand in NIOSH 98-126, table 1-1, too
// (85: 8 h; 100: 15 min; from memory).
test.each([
  [85, 12.6, 4.0, 8 * 60],
  [90, 4.0, 1.26, 151],
  [95, 1.26, 0.4, 47.6],
  [100, 0.4, 0.126, 15],
])('%i dBA: %f h a week, %f h for sensitive ears, %f min a day', (laeq, week, sensitive, minutes) => {
  expect(allowedHours(laeq, 'week') / week).toBeCloseTo(1, 2);
  expect(allowedHours(laeq, 'week-sensitive') / sensitive).toBeCloseTo(1, 2);
  expect((allowedHours(laeq, 'day') * 60) / minutes).toBeCloseTo(1, 2);
});

test.each([
  [82, 16],
  [88, 4],
  [91, 2],
  [94, 1],
  [97, 0.5],
  [103, 0.125],
])('NIOSH 98-126, table 1-1 (from memory): %i dBA for %f hours', (laeq, hours) => {
  expect(allowedHours(laeq, 'day')).toBeCloseTo(hours, 12);
});

test('half an hour at 85 dBA: 3.95 % of the week, 6.25 % of the day', () => {
  expect(shareOf(85, 0.5, 'week')).toBeCloseTo(0.0395, 4);
  expect(shareOf(85, 0.5, 'day')).toBe(0.0625);
});

test('the average over a day: half the dose is 3 dB less', () => {
  expect(timeWeightedAverage(1)).toBe(85);
  expect(timeWeightedAverage(0.5)).toBeCloseTo(81.99, 2);
  expect(timeWeightedAverage(0)).toBe(null);
});

test('what isn’t known is never 0', () => {
  expect(dose([{ laeq: null, hours: 2 }], 'week')).toEqual({ share: null, unknownHours: 2 });
  expect(
    dose(
      [
        { laeq: null, hours: 2 },
        { laeq: 80, hours: 0 },
      ],
      'week',
    ).share,
  ).toBe(null);
  expect(
    dose(
      [
        { laeq: null, hours: 2 },
        { laeq: 80, hours: 20 },
      ],
      'week',
    ),
  ).toEqual({ share: 0.5, unknownHours: 2 });
  expect(dose([], 'week')).toEqual({ share: 0, unknownHours: 0 });
  expect(judgeDose(null)).toBe('unknown');
});

test.each([
  [0, null, 'fine'],
  [0.499, null, 'fine'],
  [0.5, null, 'warn'],
  [0.999, null, 'warn'],
  [1, null, 'hold'],
  [7, null, 'hold'],
  [0, 85, 'fine'],
  [0, 85.01, 'hold'],
  [0.5, 85, 'warn'],
  [null, 85, 'unknown'],
  [null, 86, 'hold'],
  [Number.NaN, null, 'hold'],
  [0, Number.NaN, 'hold'],
] as const)('share %s, planned %s: %s', (share, planned, judgement) => {
  expect(judgeDose(share, planned)).toBe(judgement);
});

test('ten tenths are all of it, however they add up', () => {
  const tenths = Array.from({ length: 10 }, () => ({ laeq: 80, hours: 4 }));
  expect(judgeDose(dose(tenths, 'week').share)).toBe('hold');
});

const level = fc.double({ min: 30, max: 130, noNaN: true });
const hours = fc.double({ min: 0, max: 60, noNaN: true });

test('doses add up, and louder or longer is never less', () => {
  fc.assert(
    fc.property(level, hours, level, hours, fc.constantFrom('week', 'week-sensitive', 'day'), (a, s, b, t, scheme) => {
      const [one, two] = [shareOf(a, s, scheme) as number, shareOf(b, t, scheme) as number];
      const both = dose(
        [
          { laeq: a, hours: s },
          { laeq: b, hours: t },
        ],
        scheme,
      ).share as number;
      expect(Math.abs(both - one - two)).toBeLessThanOrEqual(1e-12 * both);
      expect(shareOf(a + 1, s, scheme)).toBeGreaterThanOrEqual(one);
      expect(shareOf(a, s + 1, scheme)).toBeGreaterThan(one);
    }),
    { seed: 7 },
  );
});

test('negative hours and levels that are none are faults of the caller', () => {
  expect(() => dose([{ laeq: 80, hours: -1 }], 'week')).toThrow('0 or more');
  expect(() => dose([{ laeq: Number.NaN, hours: 1 }], 'day')).toThrow('number of dBA');
});
