import { expect, test } from 'vitest';
import { methodRows } from '../../../server/review/letter-parts';
import type { Findings } from '../../../shared/findings';
import { aPlan } from '../../blinding/a-plan';
import { plain } from '../a-result';
import { gradedPlan } from '../graded-plan';

const findings = {
  units: [],
  amendments: [],
  plan: { hash: 'a', lockedHash: 'a', commitment: 'b' },
} as unknown as Findings;
const power = (plan: Parameters<typeof methodRows>[1]) =>
  plain(methodRows(findings, plan)).find(({ label }) => label === 'Power')?.value;

test('what power takes for granted is said in the measure of the method', () => {
  // Five points of four steps, a sixth of each.
  expect(power(gradedPlan('absolute-rating', { units: 2 }))).toMatch(
    /varies by a sixth of the scale, 0\.67 points, .*half the variance of that, that units of a prototype vary by 0\.2 points$/,
  );
  expect(power(gradedPlan('reference-and-anchors'))).toContain('a sixth of the scale, 16.67 points');
  expect(power(gradedPlan('check-all'))).toContain('listeners differ in taste (γ = 0.3), and that many tick otherwise');
  expect(power(aPlan({ method: 'first-impressions' }))).toMatch(
    /varies by 1 point from time to time .* half the variance of that$/,
  );
});
