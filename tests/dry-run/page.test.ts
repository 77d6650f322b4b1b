import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PlaysDryRun } from '../../server/dry-run/dry-runs';
import type { DryRun } from '../../shared/dry-run';
import { ada, dump, type House, openHouse, passphrase, removeFolders, smallPlan } from '../support/driver';
import { dryRunHere } from './here';

/** A plan played thousands of times, from its page. */

afterAll(removeFolders);

let house: House;
let lead: DeskBrowser;
let draft: string;
let locked: string;

let asked: Parameters<PlaysDryRun>[0] | null = null;
/** A handful stands for thousands. */
const handful: PlaysDryRun = (order) => {
  asked = order;
  return Promise.resolve({ ...dryRunHere({ ...order, panels: 6, whole: 1 }), panels: order.panels } satisfies DryRun);
};
const endless: PlaysDryRun = (_order, { signal, progress }) => {
  progress?.(400);
  return new Promise((_resolve, reject) => {
    signal?.addEventListener('abort', () => reject(signal.reason));
  });
};
let play = handful;

beforeAll(async () => {
  house = await openHouse(undefined, { dryRun: (...all) => play(...all) });
  lead = house.desk('Ada');
  await lead.makeFirstAccount(house.firstCode, ada);
  draft = await lead.plan({ ...smallPlan, title: 'Draft' });
  locked = await lead.plan({ ...smallPlan, title: 'Locked', method: 'abx', trials: 4 });
  await lead.lock(locked, passphrase);
});
afterAll(() => house.close());
afterEach(() => {
  play = handful;
});

const choose = async (study: string, fields: Record<string, string>) => {
  const { page } = await lead.open(`${study}/dry-run`);
  return lead.send(page.form(`form[action="${study}/dry-run"]`), fields);
};
const over = async (study: string) => {
  while ((await lead.open(`${study}/dry-run/part`)).body.includes('data-playing="yes"')) {
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  return lead.open(`${study}/dry-run`);
};

test('a draft as it was saved is played, and the page says in a sentence what came of it; nothing is stored', async () => {
  const before = dump(house.folder, ['staff_session']);
  expect((await lead.open(`${draft}/plan`)).page.find(`a[href="${draft}/dry-run"]`)).not.toBeNull();
  const { page } = await lead.open(`${draft}/dry-run`);
  expect(page.all('input[name="truth"]').map((one) => one.getAttribute('value'))).toEqual([
    'nothing',
    'smallest',
    'plain',
    'own',
  ]);
  await choose(draft, { truth: 'plain', panels: '1000' });
  const played = await over(draft);
  expect(played.page.text('.rehearsed')).toContain('A plain preference');
  expect(played.page.text('.dry-run-sentence')).toMatch(/^In \d+ of 100 such studies the preference would be shown\.$/);
  expect(played.page.text('.dry-run-how')).toContain('1,000 panels');
  expect(asked).toMatchObject({ panels: 1000, seed: 1, truth: { gamma: 0.3 } });
  expect(dump(house.folder, ['staff_session'])).toEqual(before);
  // Once the plan is another, it is said.
  const changing = (await lead.open(`${draft}/plan`)).page;
  await lead.send(changing.form('#plan-form'), { question: 'Which vent, then?', do: 'save' });
  expect((await lead.open(`${draft}/dry-run`)).page.text('.rehearsed')).toContain(
    'The plan was changed after this dry run.',
  );
});

test('a locked plan, with nothing to hear and with an effect of one’s own', async () => {
  await choose(locked, { truth: 'nothing', panels: '1000' });
  expect((await over(locked)).page.text('.dry-run-sentence')).toMatch(
    /a difference would be shown though there is none\.$/,
  );
  await choose(locked, { truth: 'own', panels: '10000', hear: '50', distance: '1,5' });
  const own = await over(locked);
  expect(asked).toMatchObject({ panels: 10_000, truth: { listenersWhoHear: 0.5, dPrime: 1.5 } });
  expect(own.page.text('.rehearsed')).toContain(
    '50 % of listeners hear a difference, and for them the samples are d′ = 1.5 apart.',
  );
  // What was typed stands there again.
  expect(own.page.find('#distance')?.getAttribute('value')).toBe('1,5');
});

test('while one is played its page says how far, nobody else begins, and it can be stopped', async () => {
  play = endless;
  const playing = await choose(draft, { truth: 'smallest', panels: '1000' });
  expect(playing.page.text('.rehearsing-count')).toBe('400 of 1,000 panels');
  expect(playing.page.find('progress')?.getAttribute('value')).toBe('400');
  const second = await choose(locked, { truth: 'smallest', panels: '1000' });
  expect([second.status, ...second.page.problems()]).toEqual([
    409,
    'A dry run of “Draft” is being played, and there is one at a time. Wait for it, or stop it.',
  ]);
  const stop = playing.page.form(`form[action="${draft}/dry-run/stop"]`);
  expect((await lead.send(stop)).page.text('.notice')).toBe('Stopped. What was played is gone.');
  expect((await lead.send(stop)).status).toBe(200);
});

test('one that fails says so on its page, and why in the log', async () => {
  play = () => Promise.reject(new Error('the stage fell down'));
  await choose(draft, { truth: 'nothing', panels: '1000' });
  expect((await over(draft)).page.text('[role="alert"]')).toContain('could not be played to its end');
  expect(house.log.some((line) => line.includes('A dry run failed'))).toBe(true);
});

test.each([
  [{ truth: 'anything', panels: '1000' }, 'truth', 'Choose what there is to hear.'],
  [{ truth: 'plain', panels: '999' }, 'panels', 'Choose how many panels play.'],
  [
    { truth: 'own', panels: '1000', hear: '50', distance: 'far' },
    'distance',
    'How far apart it is for them, d′, must be a number from 0 to 5.',
  ],
  [
    { truth: 'own', panels: '1000', hear: '101', distance: '1' },
    'hear',
    'Listeners who hear it, in per cent, must be a number from 0 to 100.',
  ],
])('refuses %o by its field', async (fields, path, message) => {
  const form = (await lead.open(`${locked}/dry-run`)).page.form(`form[action="${locked}/dry-run"]`);
  const answer = await lead.post(form.action, { ...form.fields, ...fields }, 'json');
  expect(answer.status).toBe(400);
  expect(answer.json()).toMatchObject({ error: { path, message } });
  const shown = await lead.send(form, fields);
  expect([shown.status, ...shown.page.problems()]).toEqual([400, message]);
});

test('refuses what would take hours, and a draft that is not complete', async () => {
  const long = await lead.plan({
    ...smallPlan,
    title: 'Long',
    method: 'abx',
    trials: 40,
    audiences: [{ name: 'All', listeners: 200 }],
    sessions: 2,
    gapHours: 18,
    handling: 'day-code',
  });
  const refused = await choose(long, { truth: 'plain', panels: '10000' });
  expect([refused.status, ...refused.page.problems()]).toEqual([
    400,
    'This plan takes 16000 answers, and 10000 panels may give at most 10000 each. Take fewer panels, or play it by the command dry-run.',
  ]);
  const { page } = await lead.open('/studies/new');
  const { path } = await lead.send(page.form('form[action="/studies"]'), { title: 'Empty', preset: 'three' });
  const answer = await lead.open(`${path.replace(/\/plan.*/, '')}/dry-run`);
  expect(answer.status).toBe(400);
  expect(answer.page.text('main')).toContain('This plan can’t be played yet.');
  expect((await lead.open(`${long}/dry-run/part`)).status).toBe(404);
});
