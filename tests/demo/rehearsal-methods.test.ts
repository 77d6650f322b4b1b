import { expect, test } from 'vitest';
import { recordText } from '../../server/blinding/record';
import { storyOf } from '../../server/blinding/story';
import { rehearse } from '../../server/demo/rehearsal';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { checked, failing } from '../support/changed-bytes';

/** From the lock to the findings, through the real pages, where samples are learnt or come twice. */

const wishes: Record<string, PlanWish> = {
  'same–different, day codes': { method: 'same-different', trials: 2, handling: 'day-code' },
  'A–not-A of renders': { method: 'a-not-a', spec: { trials: 2, showOther: true }, playback: 'renders' },
};

test.each(Object.entries(wishes))('%s: each sample is heard once, and the record holds', async (_what, wish) => {
  const record = await rehearse(aPlan({ audiences: [['home', 2]], ...wish }), 'plain');
  expect(failing(checked(recordText(record)))).toEqual([]);
  const { sittings } = storyOf(record.ledger);
  expect(sittings).toHaveLength(2);
  for (const { trials } of sittings) {
    expect(trials.map(({ answer }) => answer)).toEqual([0, 1, 2].map(() => expect.stringMatching(/^(yes|no)$/)));
    for (const { heard } of trials) expect(heard).toEqual(heard.map(() => 1));
  }
  expect(sittings[0]?.trials[0]?.codes).toHaveLength(wish.method === 'a-not-a' ? 4 : 2);
});
