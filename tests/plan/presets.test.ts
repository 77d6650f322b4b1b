import { expect, test } from 'vitest';
import { candidate } from '../../server/plan/candidate';
import { checkPlan } from '../../server/plan/check';
import { findsOf } from '../../server/plan/finds';
import { draftFrom, presets } from '../../server/plan/presets';

/** Places to start from must be worth starting: each finds its own smallest effect by the chance its risks promise. */

test.each(presets.map((preset) => [preset.id, preset] as const))('%s finds what it looks for', (_, preset) => {
  const draft = draftFrom(preset, 'Vents');
  for (const [at, prototype] of draft.prototypes.entries()) {
    prototype.name = `Vent ${at + 1}`;
    for (const unit of prototype.units) unit.serial = `SN-${at + 1}`;
  }
  for (const [at, excerpt] of draft.excerpts.entries()) excerpt.name = `Piece ${at + 1}`;
  const { plan, problems } = checkPlan(candidate(draft));
  expect(problems).toEqual([]);
  if (!plan) return;
  const { audiences, warnings, minutes } = findsOf(plan);
  const [listeners] = preset.audiences.map(([, people]) => people);
  // A preset's name says its own numbers.
  expect(preset.name).toContain(`${preset.prototypes} ${draft.playback === 'renders' ? 'renders' : 'prototypes'}`);
  expect(preset.name).toMatch(new RegExp(`\\b${listeners} (people|listeners)`));
  for (const { power } of audiences) {
    expect(power.find(({ smallest }) => smallest)?.percent).toBeGreaterThanOrEqual(80);
  }
  expect(warnings.join(' ')).not.toMatch(/undecided|are long/);
  expect(minutes).toBeLessThanOrEqual(30);
});
