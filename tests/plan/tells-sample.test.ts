import { expect, test } from 'vitest';
import { tellsSample } from '../../server/tells-sample';
import { aPlan } from '../blinding/a-plan';

const plan = aPlan({ names: ['Narrow vent', 'Wide vent'] });
const serial = plan.prototypes[0]?.units[0]?.serial ?? '';

test.each([
  ['417 is the Wide vent', true],
  ['4 1 7 was wide VENT', true],
  [`${serial} lay in 285`, true],
  ['The Wide vent came in late', false],
  ['Somebody dropped 417', false],
  // No code: a round number, a year, a number of listeners.
  ['Wide vent, 200 listeners in 2026, 12 of them ill', false],
  ['', false],
])('%s: %s', (text, tells) => {
  expect(tellsSample(plan, text)).toBe(tells);
});
