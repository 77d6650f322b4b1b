import { readdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { expect, test } from 'vitest';
import { rehearse } from '../../server/demo/rehearsal';
import { answersOf } from '../../server/rehearse';
import { findingsOf } from '../../server/review/findings';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const left = () => readdirSync(tmpdir()).filter((name) => name.startsWith('fair-hearing-rehearsal-'));

const plans: [string, PlanWish][] = [
  [
    'paired preference',
    {
      method: 'paired-preference',
      prototypes: 3,
      audiences: [
        ['home', 2],
        ['stage', 1],
      ],
    },
  ],
  ['ABX', { method: 'abx', trials: 2, audiences: [['home', 2]], sessions: 2, gapHours: 18, spanDays: 10 }],
  [
    'first impressions',
    {
      method: 'first-impressions',
      prototypes: 3,
      hiddenRepeats: 1,
      audiences: [['home', 2]],
      sessions: 2,
      gapHours: 18,
    },
  ],
];
test.each(plans)('%s is played from the lock to unsealing, and leaves no folder behind', async (_, wish) => {
  const plan = aPlan(wish);
  const before = left();
  const said: string[] = [];
  let answers = 0;
  const record = await rehearse(plan, 'plain', {
    progress: (now) => {
      said.push(now.doing);
      answers = now.answers;
    },
  });
  expect(answers).toBe(answersOf(plan));
  const found = findingsOf(record);
  console.log(
    found.results.map((r) => r.verdict),
    [...new Set(said)],
    found.flow,
  );
  expect(left()).toEqual(before);
});
