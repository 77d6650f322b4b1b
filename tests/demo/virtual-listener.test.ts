import { afterAll, expect, test } from 'vitest';
import { outcomesOf } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { Bench } from '../../server/demo/bench';
import { mindOf } from '../../server/demo/mind';
import { PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import { holdSession } from '../../server/demo/session';
import { TurnedClock } from '../../server/demo/turned-clock';
import { type Character, ListenerAtSeat } from '../../server/demo/virtual-listener';
import { recordSchema } from '../../shared/record';
import { ada, bo, openHouse, passphrase, removeFolders } from '../support/driver';

/** Virtual listeners at phones of the real server. */

afterAll(removeFolders);

const prototypes = ['Narrow vent', 'Wide vent'].map((name, i) => ({ name, units: [{ serial: `V-${i}` }] }));
const base = { title: 'Vents', question: 'How are they?', prototypes, handling: 'two-person' } as const;
const truth = { ratings: { liking: { 'Narrow vent': 1, 'Wide vent': -1 } }, residualSd: 1, worth: {}, gamma: 0.4 };

async function played(plan: PlanInMind, characters: Character[], conditions: Record<string, string[]> = {}) {
  const house = await openHouse();
  const [desk, preparer] = [house.desk('Ada'), house.staff('Bo')];
  await desk.makeFirstAccount(house.firstCode, ada);
  await preparer.acceptInvitation(await desk.invite(), bo);
  const study = await desk.plan(plan);
  await desk.lock(study, passphrase);
  const bench = new Bench();
  const clock = new TurnedClock(new Date('2026-03-02T09:00:00Z'));
  const pass = (seconds: number) => {
    clock.pass(seconds);
    house.wait(seconds / 3_600);
  };
  const panel = characters.map((character) => {
    const phone = new PhoneBrowser(house.origin, { name: character.alias, now: clock.now });
    const listener = new ListenerAtSeat(phone, character, { bench, plan: mindOf(plan), seed: 'one', pass });
    const own = conditions[character.alias];
    return { listener, ...(own ? { conditions: own } : {}) };
  });
  await holdSession({ desk, preparer, study, passphrase, number: 1, bench, panel });
  await desk.close(study);
  await desk.unseal(study, passphrase);
  const record = recordSchema.parse(JSON.parse(await desk.download(study, 'record.json')));
  await house.close();
  const story = storyOf(record.ledger);
  return { record, story, outcomes: outcomesOf(story) };
}

const impressions: PlanInMind = {
  ...base,
  method: 'first-impressions',
  audiences: [{ name: 'Listeners', listeners: 3 }],
  scales: ['liking', 'bass'],
  // Each prototype twice: one repeat alone would be of another in each draw.
  hiddenRepeats: 2,
};
const panel: Character[] = [
  { alias: 'Cleo', audience: 'Listeners', truth, scenes: [{ sitting: 1, after: 1, what: 'is-late' }] },
  { alias: 'Dov', audience: 'Listeners', truth, fussy: true, scenes: [{ sitting: 1, after: 0, what: 'reloads' }] },
  { alias: 'Eve', audience: 'Listeners', truth },
];

test('the same seed gives the same answers under two draws; who is late, loads anew or has a cold is told', async () => {
  const nights = [];
  for (let i = 0; i < 2; i++) nights.push(await played(impressions, panel, { Eve: ['congestion'] }));
  const [one, other] = nights.map(({ story, outcomes }) => {
    const nameOf = (id: string | undefined) => story.plan.prototypes.find((prototype) => prototype.id === id)?.name;
    const who = (id: string) => story.joined.findIndex(({ listener }) => listener === id);
    return outcomes
      .map(({ listener, prototypes, scale, value }) => `${who(listener)} ${nameOf(prototypes[0])} ${scale} ${value}`)
      .sort();
  });
  expect(one).toHaveLength(2 * 4 * 2);
  expect(other).toEqual(one);
  for (const { story, outcomes, record } of nights) {
    const late = outcomes.filter((outcome) => outcome.late);
    expect(late.map(({ position }) => position)).toEqual([2, 2]);
    const reloaded = outcomes.filter(({ flags }) => flags.includes('reloaded'));
    expect(reloaded.map(({ position, exposure }) => [position, exposure])).toEqual([
      [1, 2],
      [1, 2],
    ]);
    // Clocks and rests are as they should be, and one listener took each sample out and put it in again.
    expect(new Set(outcomes.flatMap(({ flags }) => flags))).toEqual(new Set(['reloaded']));
    expect(record.ledger.filter(({ kind }) => kind === 'refitted')).toHaveLength(4);
    expect([story.postponed, story.sittings.length]).toEqual([1, 2]);
  }
});

test('whoever leaves after an answer leaves the rest unanswered, and others go on', async () => {
  const plan: PlanInMind = { ...base, audiences: [{ name: 'Listeners', listeners: 2 }], turns: 3 };
  const { story } = await played(plan, [
    { alias: 'Cleo', audience: 'Listeners', truth, scenes: [{ sitting: 1, after: 2, what: 'leaves' }] },
    { alias: 'Dov', audience: 'Listeners', truth, guesses: true },
  ]);
  const answered = story.sittings.map(({ trials, ended }) => [
    ended,
    trials.filter(({ state, practice }) => state === 'answered' && !practice).length,
  ]);
  expect(answered.sort()).toEqual([
    ['cut', 2],
    ['finished', 3],
  ]);
});
