import { expect, test } from 'vitest';
import { furthestApart } from '../../server/prepare/lags';

test.each([
  [[0], null],
  [[0, 1], null],
  [[0, 1, 0, 1], null],
  [[0, null, 1], null],
  [[null, null], null],
  [[], null],
  [[0, 1, -1], { early: 2, late: 1, samples: 2 }],
  [[0, null, -1, 1], { early: 2, late: 3, samples: 2 }],
  [[0, 300], { early: 0, late: 1, samples: 300 }],
])('%j', (lags, apart) => {
  expect(furthestApart(lags)).toEqual(apart);
});
