import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { recordText } from '../../server/blinding/record';
import { storyOf } from '../../server/blinding/story';
import { rehearse } from '../../server/demo/rehearsal';
import { rehearseApart } from '../../server/demo/rehearsal-apart';
import { truthOf } from '../../server/demo/rehearsal-truth';
import { checkPlan } from '../../server/plan/check';
import { minutesOf } from '../../server/plan/minutes';
import { answersOf, effectOf, type RehearsalProgress, rehearsalTruths, unplayedWords } from '../../server/rehearse';
import { findingsOf } from '../../server/review/findings';
import { truthsOf } from '../../server/review/rehearsal-words';
import { methodIds, type Plan, playbacks } from '../../shared/plan';
import { aPlan, type PlanWish, starter } from '../blinding/a-plan';
import { checked, failing } from '../support/changed-bytes';

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
      handling: fc.constantFrom('two-person', 'day-code', 'solo'),
      playback: fc.constantFrom(...playbacks),
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
    .map(({ listeners, follows, hiddenRepeats, ...wish }) =>
      aPlan({
        ...wish,
        ...follows,
        method,
        audiences: listeners,
        // A repeat is hidden under a fresh code only.
        hiddenRepeats: wish.handling === 'two-person' || wish.playback === 'renders' ? hiddenRepeats : 0,
      } as PlanWish),
    );

/** Seeded: what holds for any of them is tried on the same ones each time, and a failure comes again. */
const drawn = <T>(from: fc.Arbitrary<T>, seed: number): T => fc.sample(from, { numRuns: 1, seed })[0] as T;

/** More listeners than sit at a time, who go on from another study, and a span that holds their sittings and no minute more. */
function tightPlan(): Plan {
  const plan = aPlan({
    audiences: [['home', 9]],
    units: 4,
    sessions: 2,
    gapHours: 12,
    missed: 'lost',
    handling: 'day-code',
    follows: { study: 'a-study', planHash: 'a'.repeat(64) },
  });
  const within = (minutes: number): Plan => ({
    ...plan,
    sessions: { ...plan.sessions, maximumSpanDays: (12 + minutes / 60) / 24 },
  });
  const least = minutesOf(plan);
  expect(checkPlan(within(least - 1)).plan).toBeNull();
  expect(checkPlan(within(least)).plan).not.toBeNull();
  return within(least);
}

const small: PlanWish = { audiences: [['home', 2]], trials: 2, hiddenRepeats: 0 };

test.each([
  // Of renders an A–not-A is played, too (`rehearsal-methods.test.ts`), and an ABX by the demo.
  [
    'first impressions of renders, matched by a band',
    () =>
      aPlan({
        ...small,
        method: 'first-impressions',
        playback: 'renders',
        sound: { match: { kind: 'band', low: 4000, high: 12000 } },
      }),
  ],
  ['a preference among units that the page plays', () => aPlan({ ...small, prototypes: 3, playback: 'seat-player' })],
  ['any small plan', () => drawn(fc.constantFrom(...methodIds).chain(smallPlan), 11)],
  ['a tight plan of paired preference', tightPlan],
])('%s is played from its lock to unsealing', async (name, make) => {
  const plan = make();
  expect(checkPlan(plan).problems).toEqual([]);
  const truth = drawn(fc.constantFrom(...rehearsalTruths), name.length);
  const said: RehearsalProgress[] = [];
  const record = await rehearse(plan, truth, { progress: (now) => void said.push(now) });
  const whole = answersOf(plan);
  const what = JSON.stringify({ plan, truth });
  expect([what, said.at(-1)]).toEqual([what, { doing: 'Unsealing', answers: whole, of: whole }]);
  expect(said[0]).toEqual({ doing: 'Setting up', answers: 0, of: whole });
  expect(unplayedWords(plan, whole)).toBeNull();
  expect([what, ...failing(checked(recordText(record)))]).toEqual([what]);
  const found = findingsOf(record);
  expect([what, found.flow.trials]).toEqual([what, { ...found.flow.trials, planned: whole, answered: whole, lost: 0 }]);
  // Which study it goes on from is unknown to a rehearsal.
  const { follows: _, ...alone } = plan;
  expect(storyOf(record.ledger).plan).toEqual(alone);
});

describe('stopped', () => {
  const long = aPlan({ method: 'first-impressions', audiences: [['home', 4]], sessions: 12, handling: 'day-code' });

  test.each([
    ['in this process', rehearse, 2],
    ['in a process of its own', rehearseApart, 0],
  ])('%s: it ends, says why, and leaves no folder', async (_, play, after) => {
    const stop = new AbortController();
    const why = new Error('enough');
    let progress = 0;
    const played = play(long, 'plain', {
      signal: stop.signal,
      progress: ({ answers }) => {
        progress = answers;
        if (answers === after) stop.abort(why);
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

test.each([
  // From one end of seven points to the other there are six.
  [7, 5, 6],
  [7, 2.5, 5],
  [3, 0.5, 2],
  [3, 1.5, 2],
  [9, 0.5, 2],
])('on %d points, with %d worth finding, a plain difference is of %d', (points, smallest, plain) => {
  const scales = [starter('bass'), { ...starter('liking'), points }];
  const risks = { smallest: { kind: 'points' as const, value: smallest } };
  const plan = aPlan({ method: 'first-impressions', scales, scale: 'liking', names: ['Wide', 'Narrow'], risks });
  expect(checkPlan(plan).problems).toEqual([]);
  expect(effectOf(plan, 'plain')).toBe(plain);
  const { ratings } = truthOf(plan, 'plain');
  expect(ratings?.liking).toEqual({ 'proto-a': plain / 2, 'proto-b': -plain / 2 });
  const said = truthsOf(plan).find(({ value }) => value === 'plain')?.hint;
  expect(said?.replaceAll('\u00a0', ' ')).toBe(
    `On average Wide is felt ${plain} points above Narrow on the scale of the verdict. Ratings stop at its ends.`,
  );
});

test('a preference that is nearly sure is not said to be', () => {
  const plan = aPlan({ risks: { smallest: { kind: 'share', value: 0.999 } } });
  expect(truthsOf(plan).map(({ hint }) => /[\d.]+(?=.%)/.exec(hint)?.[0])).toEqual([undefined, '99.9', '99.95']);
});
