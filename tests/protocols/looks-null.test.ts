import { describe, expect, test } from 'vitest';
import { methodOf } from '../../protocols/index';
import { lookedAt } from '../../protocols/looks';
import type { Outcome, Truth } from '../../protocols/protocol';
import type { AudienceId } from '../../shared/brands';
import type { Looks } from '../../shared/plan';
import { type SeededRandom, seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { wholeStudy } from './whole-study';

/**
 * Simulated panels that hear nothing, peeked at after each answer, with habits of answering. What is right is drawn by
 * itself in each trial of a plan with looks, so that no habit should gain anything; in a preference each of two comes first
 * as often over pairs of listeners, so that what one answers isn't quite independent of what another does. Neither shows
 * in a sum over counts.
 */

const panels = 200;
/** Three standard errors of a share of α in so many panels. */
const allowed = 0.05 + 3 * Math.sqrt((0.05 * 0.95) / panels);

/** In any order in which people may be at work at the same time: each by turns of luck. */
function asTheyCame(outcomes: readonly Outcome[], random: SeededRandom): Outcome[] {
  const queues = new Map<string, Outcome[]>();
  for (const one of outcomes) queues.set(one.listener, [...(queues.get(one.listener) ?? []), one]);
  const came: Outcome[] = [];
  let left = [...queues.values()];
  while (left.length > 0) {
    const own = left[random.below(left.length)] as Outcome[];
    came.push(own.shift() as Outcome);
    left = left.filter(({ length }) => length > 0);
  }
  return came;
}

const strict: Looks = { kind: 'sequential', bounds: 'strict' };
const anytime: Looks = { kind: 'always-valid' };

const nulls: [string, PlanWish, Truth][] = [
  ['triangle, strict, everybody says the first', { method: 'triangle', looks: strict }, { positionBias: 4 }],
  ['triangle, at any time, everybody says the first', { method: 'triangle', looks: anytime }, { positionBias: 4 }],
  ['preference, strict, tastes of their own', { looks: strict, repeats: 3 }, { gamma: 0.6, positionBias: 1 }],
];

describe('where there is nothing, looking after each answer finds it no oftener than planned', () => {
  test.each(nulls)('%s', (name, wish, truth) => {
    const preference = wish.method === undefined;
    const plan = aPlan({
      trials: 6,
      audiences: [['home', preference ? 24 : 12]],
      ...wish,
      risks: { smallest: preference ? { kind: 'share', value: 0.75 } : { kind: 'heard', value: 0.4 } },
    });
    const { protocol } = methodOf(plan);
    let found = 0;
    for (let panel = 0; panel < panels; panel++) {
      const seed = `${name} ${panel}`;
      const came = asTheyCame(wholeStudy(plan, [truth], seed), seededRandom(`order ${seed}`));
      const evidence = protocol.evidence?.(came, plan, 'home' as AudienceId);
      if (evidence && lookedAt(evidence, plan).state === 'shown') found++;
    }
    expect(found / panels).toBeLessThanOrEqual(allowed);
  });
});
