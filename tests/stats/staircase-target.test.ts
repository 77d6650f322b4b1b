import fc from 'fast-check';
import { expect, test } from 'vitest';
import { staircaseTarget } from '../../stats/staircase-target';
import { expectClose, rounding } from './support';

const even = { up: 1, down: 1 };

/** Probability that a fresh count ends in a move down: the states of the count, one answer after another. */
function downFirst(p: number, down: number, up: number): number {
  let rights = new Float64Array(down);
  let wrongs = new Float64Array(up);
  let ended = 0;
  rights[0] = 1;
  for (let answer = 0; answer < 20_000; answer++) {
    const nextRights = new Float64Array(down);
    const nextWrongs = new Float64Array(up);
    const move = (state: number, right: number, wrong: number) => {
      if (right === down) ended += state * p;
      else nextRights[right] = (nextRights[right] as number) + state * p;
      if (wrong !== up) nextWrongs[wrong] = (nextWrongs[wrong] as number) + state * (1 - p);
    };
    // rights[0] is the fresh count; wrongs[0] is never used.
    rights.forEach((state, right) => {
      move(state, right + 1, 1);
    });
    wrongs.forEach((state, wrong) => {
      if (wrong > 0) move(state, 1, wrong + 1);
    });
    rights = nextRights;
    wrongs = nextWrongs;
    if (Math.max(...rights, ...wrongs) < 1e-18) break;
  }
  return ended;
}

test.each([
  // Levitt (1971), Table I (from memory): down and up in a row, and the percentage aimed at.
  [1, 1, 50],
  [2, 1, 70.7],
  [3, 1, 79.4],
  [4, 1, 84.1],
  [1, 2, 29.3],
  [1, 3, 20.6],
  [1, 4, 15.9],
])('%d down, %d up aims at %f %%', (down, up, percent) => {
  expectClose(staircaseTarget({ down, up }, even), percent / 100, { relative: 0, absolute: 0.00051 }, 'printed');
});

test('at the target the moves cancel, by following every state of the count', () => {
  for (const down of [1, 2, 3, 5]) {
    for (const up of [1, 2, 3, 4]) {
      for (const weights of [even, { up: 3, down: 1 }, { up: 1, down: 2.5 }]) {
        const target = staircaseTarget({ down, up }, weights);
        const share = downFirst(target, down, up);
        const what = `${down} down, ${up} up, ${weights.up} to ${weights.down}`;
        expectClose(share * weights.down, (1 - share) * weights.up, { relative: 1e-10, absolute: 0 }, what);
      }
    }
  }
});

test('a fourth of right answers in a row with weights: p to the fourth is up over all', () => {
  expectClose(staircaseTarget({ down: 4, up: 1 }, { up: 3, down: 5 }), (3 / 8) ** 0.25, rounding, '4 down');
});

const count = fc.integer({ min: 1, max: 100 });
const weight = fc.double({ min: 0.01, max: 100, noNaN: true });

test('within 0 and 1; exchanging right and wrong mirrors it; more right answers in a row aim higher', () => {
  fc.assert(
    fc.property(count, count, weight, weight, (down, up, a, b) => {
      const target = staircaseTarget({ down, up }, { up: a, down: b });
      expect(target).toBeGreaterThan(0);
      expect(target).toBeLessThan(1);
      const mirrored = staircaseTarget({ down: up, up: down }, { up: b, down: a });
      expectClose(1 - mirrored, target, { relative: 1e-11, absolute: 1e-14 }, 'mirror');
      expect(staircaseTarget({ down: down + 1, up }, { up: a, down: b })).toBeGreaterThanOrEqual(target);
      expect(staircaseTarget({ down, up }, { up: 2 * a, down: b })).toBeGreaterThanOrEqual(target);
    }),
    { seed: 1, numRuns: 300 },
  );
});

test('as many up as down, equally weighted, aim at one half', () => {
  for (const n of [1, 2, 3, 7, 100]) expectClose(staircaseTarget({ down: n, up: n }, even), 0.5, rounding, `${n}`);
});
