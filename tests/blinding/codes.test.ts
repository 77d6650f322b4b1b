import fc from 'fast-check';
import { expect, test } from 'vitest';
import { goodCodes, isGoodCode, shuffledCodes } from '../../server/blinding/codes';
import { randomnessOf } from '../../server/blinding/randomness';
import { chiSquareUpper } from '../../stats/distributions';

test('775 of the 900 numbers from 100 to 999, counted by hand', () => {
  // Without a leading zero: 900. Written with 0, 1, 6, 8 and 9 only, first digit not 0: 4·5·5 = 100, which covers four
  // of nine round hundreds (100 600 800 900), four of nine triples (111 666 888 999) and no run.
  // The rest of the hundreds (200 300 400 500 700): 5. The rest of the triples (222 333 444 555 777): 5.
  // Runs up 123 … 789: 7; runs down 210 … 987: 8. 900 − 100 − 5 − 5 − 15 = 775.
  expect(goodCodes).toHaveLength(775);
  expect(new Set(goodCodes).size).toBe(775);
});

test.each([
  '100',
  '500',
  '111',
  '777',
  '123',
  '789',
  '321',
  '210',
  '987',
  '619',
  '168',
  '906',
  '099',
  '12',
  '1234',
  'abc',
  '',
])('%s is no good code', (digits) => expect(isGoodCode(digits)).toBe(false));

test.each(['102', '124', '135', '417', '502', '947', '242', '112'])('%s is a good code', (digits) =>
  expect(isGoodCode(digits)).toBe(true),
);

test('property: every good code keeps every rule, checked by itself', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 9999 }), (n) => {
      const digits = String(n).padStart(3, '0');
      const banned =
        n < 100 ||
        n > 999 ||
        n % 100 === 0 ||
        n % 111 === 0 ||
        '0123456789'.includes(digits) ||
        '9876543210'.includes(digits) ||
        ![...digits].some((digit) => '23457'.includes(digit));
      expect(isGoodCode(digits)).toBe(!banned);
    }),
    { seed: 1, numRuns: 5000 },
  );
});

test('codes come uniformly: over 400 sessions each is among the first hundred equally often', () => {
  const counts = new Map<string, number>(goodCodes.map((code) => [code, 0]));
  for (let session = 0; session < 400; session++) {
    const codes = shuffledCodes(randomnessOf(Buffer.alloc(32, 5), 1, 'codes').at('session', session));
    expect(new Set(codes).size).toBe(775);
    for (const code of codes.slice(0, 100)) counts.set(code, (counts.get(code) ?? 0) + 1);
  }
  const expected = (400 * 100) / 775;
  const square = [...counts.values()].reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
  // Drawn without replacement within a session, so the statistic is smaller by 1 − 99/774.
  const p = chiSquareUpper(square / (1 - 99 / 774), 774);
  expect(p).toBeGreaterThan(0.001);
  expect(p).toBeLessThan(0.999);
});
