import { expect, test } from 'vitest';
import { methodOf } from '../../protocols/index';
import { recordText } from '../../server/blinding/record';
import { storyOf } from '../../server/blinding/story';
import { rehearse } from '../../server/demo/rehearsal';
import type { MethodId } from '../../shared/plan';
import { checked, failing } from '../support/changed-bytes';
import { gradedPlan } from './graded-plan';

/** From the lock to the findings, through the real pages, where samples are graded: one at the ear, all at once, or beside a reference. */

const wishes: [MethodId, Parameters<typeof gradedPlan>[1]][] = [
  ['several-stimuli', { handling: 'day-code' }],
  ['reference-and-anchors', { prototypes: 4, anchors: true }],
  ['comparison-rating', { prototypes: 2 }],
  ['check-all', { prototypes: 2, playback: 'seat-player' }],
];

test.each(wishes)('%s: everything is graded once, and the record holds', async (method, wish) => {
  const plan = gradedPlan(method, { audiences: [['home', 1]], ...wish });
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
