import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import type { Alternative } from '../../stats/check';
import { peeking } from '../../stats/peeking';
import { expectRefused } from './support';

test.each([
  // Worked out apart from this code, by another program: one-sided 5 % at chance 1/2, to one digit after the point.
  [{ first: 10, last: 100 }, 0.184],
  [{ first: 10, last: 100, every: 10 }, 0.125],
  [{ first: 20, last: 100, every: 20 }, 0.103],
])('an ABX that is looked at on the way: %o', (input, falseAlarms) => {
  expect(peeking(input).falseAlarms).toBeCloseTo(falseAlarms, 3);
});

test('with many trials between the looks it nears the figures for normal data', () => {
  // Armitage, McPherson & Rowe (1969), J. R. Stat. Soc. A 132:235–244, table 2: two-sided 5 %, 5 looks .142, 10 looks .193
  // (from memory).
  for (const [looks, published] of [
    [5, 0.142],
    [10, 0.193],
  ] as const) {
    const got = peeking({ first: 200, last: 200 * looks, every: 200, alternative: 'two-sided' });
    expect(got.looks).toBe(looks);
    // Counts are whole, so that each exact test spends somewhat less than its 5 %.
    expect(got.falseAlarms).toBeLessThan(published);
    expect(got.falseAlarms).toBeGreaterThan(published - 0.025);
  }
});

/** Every sequence of answers, looked at as told. */
function byHand(first: number, last: number, every: number, chance: number, alpha: number, alternative: Alternative) {
  let sum = 0;
  for (let code = 0; code < 2 ** last; code++) {
    let [right, probability, found] = [0, 1, false];
    for (let trials = 1; trials <= last; trials++) {
      const hit = Math.floor(code / 2 ** (trials - 1)) % 2;
      right += hit;
      probability *= hit === 1 ? chance : 1 - chance;
      const looked = trials === last || (trials >= first && (trials - first) % every === 0);
      if (looked && binomialTest({ correct: right, trials, chance, alternative }).p <= alpha) found = true;
    }
    if (found) sum += probability;
  }
  return sum;
}

test.each([
  [1, 9, 1, 1 / 2, 0.2, 'greater'],
  [3, 10, 3, 1 / 3, 0.1, 'greater'],
  [2, 9, 2, 1 / 10, 0.3, 'two-sided'],
  [4, 9, 1, 1 / 2, 0.3, 'less'],
] as const)(
  'all sequences counted by hand: from %i to %i, every %i, chance %d',
  (first, last, every, chance, a, side) => {
    const got = peeking({ first, last, every, chance, alpha: a, alternative: side }).falseAlarms;
    expect(got).toBeCloseTo(byHand(first, last, every, chance, a, side), 12);
    expect(got).toBeGreaterThan(0);
  },
);

test('one look has the risk of the test itself; more looks never less', () => {
  expect(peeking({ first: 16, last: 16 })).toEqual({ falseAlarms: expect.closeTo(2517 / 65536, 12), looks: 1 });
  const risks = [40, 20, 10, 5, 1].map((every) => peeking({ first: 40, last: 80, every }).falseAlarms);
  expect(risks).toEqual([...risks].sort((a, b) => a - b));
});

test('what makes no sense is refused by its field', () => {
  expectRefused(() => peeking({ first: 20, last: 10 }), 'out-of-range', 'last');
  expectRefused(() => peeking({ first: 0, last: 10 }), 'out-of-range', 'first');
  expectRefused(() => peeking({ first: 1, last: 10, every: 0 }), 'out-of-range', 'every');
  expectRefused(() => peeking({ first: 1, last: 2_001 }), 'out-of-range', 'last');
});
