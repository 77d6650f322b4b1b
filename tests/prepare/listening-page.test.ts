import { expect, test } from 'vitest';
import { allowedWords, sharePercent } from '../../server/prepare/listening-page';

/** How much of an allowance is said to be taken: never nothing, and no finer than an estimate is. */

test('shares, the smallest among them', () => {
  const said = [null, 1e-9, 0.000_99, 0.001, 0.0395, 0.0625, 0.12, 1.4].map(sharePercent);
  expect(said.map((words) => words.replace('\u00a0', ' '))).toEqual([
    ...['unknown', 'under 0.1 %', 'under 0.1 %', '0.1 %', '4.0 %', '6.3 %', '12 %', '140 %'],
  ]);
});

test('hours that are allowed, by what a day or a week has', () => {
  // Allowances of 80 dBA for 40 h a week (H.870) and 85 dBA for 8 h a day (NIOSH 98-126), each at other levels.
  const said = [
    allowedWords(3176, 'week'),
    allowedWords(2048, 'day'),
    allowedWords(168, 'week'),
    allowedWords(40, 'week'),
    allowedWords(8, 'day'),
    allowedWords(1.26, 'week'),
    allowedWords(0.0159, 'day'),
  ];
  expect(said.map((words) => words.replace('\u00a0', ' '))).toEqual([
    ...['all week', 'all day', 'all week', '40 h', '8 h', '75 min', 'under a minute'],
  ]);
});
