import { expect, test } from 'vitest';
import { methodOf } from '../../protocols/index';
import { recordText } from '../../server/blinding/record';
import { storyOf } from '../../server/blinding/story';
import { rehearse } from '../../server/demo/rehearsal';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { checked, failing } from '../support/changed-bytes';

/** From the lock to the findings, through the real pages, where samples are graded: one at the ear, all at once, or beside a reference. */

const wishes: PlanWish[] = [
  { method: 'several-stimuli', handling: 'day-code', prototypes: 3 },
  { method: 'reference-and-anchors', anchors: [7_000, 3_500] },
  { method: 'comparison-rating' },
  { method: 'check-all', playback: 'seat-player', liked: true },
];

test.each(wishes)('$method: everything is graded once, and the record holds', async (wish) => {
  const plan = aPlan({ audiences: [['home', 1]], ...wish });
  const record = await rehearse(plan, 'plain');
  expect(failing(checked(recordText(record)))).toEqual([]);
  const { form } = methodOf(plan);
  if (form.kind !== 'grades') throw new Error('no grades');
  const { sittings } = storyOf(record.ledger);
  expect(sittings).toHaveLength(1);
  for (const { trials } of sittings) {
    for (const { grades, practice, heard } of trials) {
      const asked = practice ? (grades?.grades.length ?? 0) : form.graded.length * form.scales.length;
      expect(grades?.grades).toHaveLength(asked);
      expect(heard).toEqual(heard.map(() => 1));
    }
  }
});
