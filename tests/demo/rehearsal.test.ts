import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { storyOf } from '../../server/blinding/story';
import { rehearse } from '../../server/demo/rehearsal';
import { rehearseApart } from '../../server/demo/rehearsal-apart';
import { truthOf } from '../../server/demo/rehearsal-truth';
import { answersOf, effectOf, type RehearsalProgress, rehearsalTruths } from '../../server/rehearse';
import { findingsOf } from '../../server/review/findings';
import { handlings, methodIds, type Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';

/** A folder for temporary ones, so that nobody else's are counted. */
const temporary = mkdtempSync(join(tmpdir(), 'fair-hearing-rehearsal-test-'));
const folders = () => readdirSync(temporary).filter((name) => name.startsWith('fair-hearing-'));
const elsewhere = process.env.TMPDIR;
beforeAll(() => {
  process.env.TMPDIR = temporary;
});
afterEach(() => expect(folders()).toEqual([]));
afterAll(() => {
  if (elsewhere === undefined) delete process.env.TMPDIR;
  else process.env.TMPDIR = elsewhere;
  rmSync(temporary, { recursive: true });
});

/** As small as a plan can be, and otherwise anything. */
const smallPlan = (method: Plan['method']['id']): fc.Arbitrary<Plan> =>
  fc
    .record({
      prototypes: method === 'abx' ? fc.constant(2) : fc.integer({ min: 2, max: 3 }),
      units: fc.integer({ min: 1, max: 2 }),
      trials: fc.integer({ min: 1, max: 2 }),
      hiddenRepeats: fc.integer({ min: 0, max: 1 }),
      handling: fc.constantFrom(...handlings),
      listeners: fc.constantFrom<[string, number][]>(
        [['home', 2]],
        [
          ['home', 1],
          ['stage', 1],
        ],
      ),
      sessions: fc.integer({ min: 1, max: 2 }),
      gapHours: fc.constantFrom(0, 18, 72),
      missed: fc.constantFrom('make-up', 'lost'),
      follows: fc.constantFrom({}, { follows: { study: 'a-study', planHash: 'a'.repeat(64) } }),
    })
    .map(({ listeners, follows, ...wish }) => aPlan({ ...wish, ...follows, method, audiences: listeners } as PlanWish));

test.each(methodIds)('any small plan of %s is played from its lock to unsealing', async (method) => {
  const [plan] = fc.sample(smallPlan(method), 1) as [Plan];
  const [truth] = fc.sample(fc.constantFrom(...rehearsalTruths), 1) as [(typeof rehearsalTruths)[number]];
  const said: RehearsalProgress[] = [];
  const record = await rehearse(plan, truth, { progress: (now) => void said.push(now) });
  const whole = answersOf(plan);
  const what = JSON.stringify({ plan, truth });
  expect([what, said.at(-1)]).toEqual([what, { doing: 'Unsealing', answers: whole, of: whole }]);
  expect(said[0]).toEqual({ doing: 'Setting up', answers: 0, of: whole });
  const found = findingsOf(record);
  expect([what, found.flow.trials]).toEqual([what, { ...found.flow.trials, planned: whole, answered: whole, lost: 0 }]);
  // Which study it goes on from is unknown to a rehearsal.
  const { follows: _, ...alone } = plan;
  expect(storyOf(record.ledger).plan).toEqual(alone);
});

describe('stopped', () => {
  const long = aPlan({ method: 'abx', trials: 40, audiences: [['home', 4]], sessions: 2 });

  test.each([
    ['in this process', rehearse],
    ['in a process of its own', rehearseApart],
  ])('%s: it ends, says why, and leaves no folder', async (_, play) => {
    const stop = new AbortController();
    const why = new Error('enough');
    let progress = 0;
    const played = play(long, 'plain', {
      signal: stop.signal,
      progress: ({ answers }) => {
        progress = answers;
        if (answers === 2) stop.abort(why);
      },
    });
    await expect(played).rejects.toBe(why);
    expect(progress).toBeLessThan(answersOf(long));
    expect(folders()).toEqual([]);
  });

  test('before it began: nothing is made', async () => {
    const stop = AbortSignal.abort(new Error('enough'));
    await expect(rehearse(long, 'plain', { signal: stop })).rejects.toThrow('enough');
    await expect(rehearseApart(long, 'plain', { signal: stop })).rejects.toThrow('enough');
  });
});

test('what there is to hear is what the plan is after, twice as plain, or nothing', () => {
  const preference = aPlan({ prototypes: 3, risks: { smallest: { kind: 'share', value: 0.75 } } });
  const { worth = {} } = truthOf(preference, 'smallest');
  const apart = (worth['proto-a'] ?? 0) - (worth['proto-b'] ?? 0);
  expect(1 / (1 + Math.exp(-apart))).toBeCloseTo(0.75, 12);
  expect(worth['proto-c']).toBe(0);
  const abx = aPlan({ method: 'abx', risks: { smallest: { kind: 'heard', value: 0.3 } } });
  expect(truthOf(abx, 'smallest')).toEqual({ listenersWhoHear: 1, heard: 0.3 });
  const rated = aPlan({ method: 'first-impressions', risks: { smallest: { kind: 'points', value: 1.5 } } });
  expect(truthOf(rated, 'plain').ratings).toEqual({ liking: { 'proto-a': 1.5, 'proto-b': -1.5 } });
  for (const plan of [preference, abx, rated]) {
    const { worth, heard, ratings, gamma, interactionSd } = truthOf(plan, 'nothing');
    expect([worth, heard, ratings, gamma, interactionSd]).toEqual([
      undefined,
      undefined,
      undefined,
      undefined,
      undefined,
    ]);
    expect(effectOf(plan, 'nothing')).toBe(0);
    expect(effectOf(plan, 'plain')).toBeGreaterThan(effectOf(plan, 'smallest'));
  }
});
