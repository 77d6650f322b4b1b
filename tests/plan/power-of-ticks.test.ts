import { expect, test } from 'vitest';
import { tickedPower, tickedSize } from '../../protocols/check-all-power';
import { powerLaw, smallestShown } from '../../server/plan/power-at';
import { powerPicture } from '../../server/plan/power-picture';
import { aPlan } from '../blinding/a-plan';

/** What the plan page tells of check all that apply: its curve, and the smallest difference that is likely shown. */

const plan = aPlan({ method: 'check-all', audiences: [['home', 30]] });

test('of one time each the curve is exact, from the size of the test on', () => {
  const law = powerLaw(plan);
  expect(law).toMatchObject({ exact: true, none: 0, falls: false });
  expect(law.at(30, 0.3)).toBe(tickedPower(30, 0.3, 1, 0.05));
  expect(law.at(30, 0)).toBeLessThanOrEqual(0.05);
});

test('of several times it is simulated, and drawn through points', () => {
  const law = powerLaw(aPlan({ method: 'check-all', rounds: 2, sessions: 2 }));
  expect(law.exact).toBe(false);
  expect(law.points).toEqual([0.1, 0.2, 0.3, 0.4, 0.5]);
  expect(law.at(12, 0.3)).toBe(tickedPower(12, 0.3, 4, 0.05));
});

test('the smallest difference shown with a chance of 80 % is the one whose size is that panel', () => {
  const shown = smallestShown(powerLaw(plan), 30, 0.8) ?? 9;
  expect(tickedPower(30, shown, 1, 0.05)).toBeCloseTo(0.8, 6);
  expect(tickedSize(shown + 0.01, 1, 0.05, 0.2)).toBeLessThanOrEqual(30);
});

test('its picture says what it counts', () => {
  expect(powerPicture(plan)?.svg).toContain('ticked by so many more, share of listeners');
});
