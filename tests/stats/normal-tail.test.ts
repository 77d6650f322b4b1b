import { expect, test } from 'vitest';
import { inverseMills, logNormalCdf } from '../../stats/normal-tail';
import { expectClose } from './support';

const exact = { relative: 1e-11, absolute: 0 };

test('log P(Z ≤ z) far out: mpmath with 30 digits, log(ncdf(z))', () => {
  // python3 -c "from mpmath import *; mp.dps=30; [print(log(erfc(-mpf(z)/sqrt(2))/2)) for z in (2,-1,-10,-29,-31,-100)]"
  for (const [z, expected] of [
    [2, -0.0230129093289635],
    [-1, -1.84102164500926],
    [-10, -53.2312851505125],
    [-29, -424.78741990973],
    [-31, -484.853963627179],
    [-100, -5005.52420869421],
  ] as const)
    expectClose(logNormalCdf(z), expected, exact, `z ${z}`);
});

test('the two ways meet where one takes over from the other', () => {
  expectClose(inverseMills(4 - 1e-12), inverseMills(4), exact, 'at 4');
  expectClose(logNormalCdf(-30 + 1e-12), logNormalCdf(-30 - 1e-12), exact, 'at −30');
});

test('the inverse of Mills’ ratio lies between its bounds, x and x + 1/x (Gordon 1941)', () => {
  for (const x of [0.5, 1, 3, 5, 20, 100, 1e6]) {
    expect(inverseMills(x)).toBeGreaterThan(x);
    expect(inverseMills(x)).toBeLessThanOrEqual(x + 1 / x);
  }
  expectClose(inverseMills(0), Math.sqrt(2 / Math.PI), exact, 'at 0');
  expect(inverseMills(-60)).toBe(0);
});
