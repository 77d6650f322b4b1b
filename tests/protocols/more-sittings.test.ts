import { describe, expect, test } from 'vitest';
import { sittingsNeeded } from '../../protocols/more-sittings';
import { plannedRepeats } from '../../protocols/paired-preference-analysis';
import { rightsPower } from '../../protocols/rights-power';
import { preferencePower } from '../../stats/preference-power';
import { aPlan } from '../blinding/a-plan';

/** The same listeners more often: as many sittings as the plan's own power asks for, and no fewer. */

const at = <P extends { sessions: object }>(plan: P, count: number): P => ({
  ...plan,
  sessions: { ...plan.sessions, count },
});

describe('right answers', () => {
  const plan = aPlan({ method: 'abx', trials: 6, audiences: [['home', 5]] });

  test('the first number of sittings with which so few listeners are enough', () => {
    const power = (count: number) => rightsPower(2 * 6 * count, 1 / 2, 0.05, plan.risks.smallest.value);
    const sittings = sittingsNeeded(plan, 2, 10) ?? 0;
    expect(sittings).toBeGreaterThan(2);
    expect(power(sittings)).toBeGreaterThanOrEqual(0.8);
    expect(power(sittings - 1)).toBeLessThan(0.8);
  });

  test('none where as many as a plan can have are too few', () => {
    const weak = { ...plan, risks: { ...plan.risks, smallest: { kind: 'heard' as const, value: 0.02 } } };
    expect(sittingsNeeded(weak, 5, 10_000)).toBeNull();
    expect(sittingsNeeded(plan, 0, 10)).toBeNull();
    expect(sittingsNeeded(at(plan, 12), 5, 10)).toBeNull();
  });
});

test('a preference: listeners’ own tastes don’t average out, so that sittings help only so far', () => {
  const plan = aPlan({ trials: 2, audiences: [['home', 12]] });
  const power = (listeners: number, count: number) =>
    preferencePower({
      listeners,
      repeats: plannedRepeats(at(plan, count)),
      gamma: 0.3,
      share: plan.risks.smallest.value,
      alpha: 0.05,
      alternative: 'two-sided',
      seed: 1,
    }).power;
  const few = 6;
  expect(power(few, 12)).toBeLessThan(0.8);
  expect(sittingsNeeded(plan, few, 30)).toBeNull();
  const some = [10, 12, 14, 16, 18, 20].find((one) => power(one, 12) >= 0.8 && power(one, 1) < 0.8) ?? 0;
  const sittings = sittingsNeeded(plan, some, 30) ?? 0;
  expect(power(some, sittings)).toBeGreaterThanOrEqual(0.8);
  expect(power(some, sittings - 1)).toBeLessThan(0.8);
});

test('ratings: of the variance of a listener’s mean they divide what isn’t taste', () => {
  // Taste has half the variance of one rating: 1.5 with one sitting, 0.5 + 1/4 with four, 0.5 + 1/12 with twelve.
  const plan = aPlan({ method: 'first-impressions', sessions: 1, audiences: [['home', 10]] });
  expect(sittingsNeeded(plan, 10, 20)).toBe(4);
  expect(sittingsNeeded(plan, 10, 25)).toBe(10);
  expect(sittingsNeeded(plan, 10, 26)).toBeNull();
});

test.each([
  ['same-different', {}],
  ['ranking', { prototypes: 3, spec: { size: 3, rankings: 1 } }],
  ['triangle', { aim: 'similarity' as const }],
] as const)('%s: more listeners take no more sittings', (method, wish) => {
  const plan = aPlan({ method, trials: 6, ...wish, audiences: [['home', 8]] });
  const sittings = [8, 12, 16, 40].map((listeners) => sittingsNeeded(plan, listeners, 200) ?? 99);
  expect(sittings).toEqual(sittings.toSorted((a, b) => b - a));
  expect(sittings.at(-1)).toBeLessThan(99);
});
