import { expect, test } from 'vitest';
import { pairScores } from '../../protocols/pair-scores';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { simulated } from './simulated-study';

/** How often a 95 % interval of a score holds the true one: why the report calls those of few listeners too short. */
function coverage(listeners: number, repeats: number, studies: number): number {
  const worth = { 'proto-a': -1, 'proto-b': 0, 'proto-c': 1 };
  const plan = aPlan({ prototypes: 3, repeats, audiences: [['home', listeners]] });
  let held = 0;
  let told = 0;
  for (let i = 0; i < studies; i++) {
    const outcomes = simulated(plan, { worth, gamma: 0.3 }, listeners, repeats, seededRandom(`scores ${i}`));
    for (const { prototype, lower, upper } of pairScores(outcomes, plan, 300)?.scores ?? []) {
      if (lower === null || upper === null) continue;
      told++;
      const truth = worth[prototype as keyof typeof worth];
      if (lower <= truth && truth <= upper) held++;
    }
  }
  return held / told;
}

test('8 listeners once: clearly less than 95 %; 12 and 20 listeners twice: about as much', () => {
  const few = coverage(8, 1, 250);
  expect(few).toBeGreaterThan(0.82);
  expect(few).toBeLessThan(0.93);
  expect(coverage(12, 2, 250)).toBeGreaterThan(0.91);
  expect(coverage(20, 2, 250)).toBeGreaterThan(0.92);
});
