import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { storyOf } from '../../server/blinding/story';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import { rehearse } from '../../server/demo/rehearsal';
import type { StaffBrowser } from '../../server/demo/staff-browser';
import type { Rehearse } from '../../server/rehearse';
import type { StudyRecord } from '../../shared/record';
import { ada, bo, dump, type House, openHouse, passphrase, removeFolders, smallPlan } from '../support/driver';

/** A plan tried with simulated listeners, from the page. */

afterAll(removeFolders);

let house: House;
let lead: DeskBrowser;
let colleague: StaffBrowser;
/** Paths of a draft, of a locked study, and of a draft that would take too long. */
let draft: string;
let locked: string;
let long: string;

/** Stands between the page and the rehearsal, so that a test can look while it is played. */
let play: Rehearse;
/** What was played first, so that what a page says afterwards needn't be played again. */
let record: StudyRecord;
const playAndKeep: Rehearse = async (...all) => {
  record = await rehearse(...all);
  return record;
};
const replay: Rehearse = (plan) => {
  let text = JSON.stringify(record);
  const { prototypes } = storyOf(record.ledger).plan;
  for (const [place, { id }] of prototypes.entries()) text = text.replaceAll(id, plan.prototypes[place]?.id ?? '');
  return Promise.resolve(JSON.parse(text) as StudyRecord);
};

beforeAll(async () => {
  house = await openHouse(undefined, { rehearse: (...all) => play(...all) });
  lead = house.desk('Ada');
  await lead.makeFirstAccount(house.firstCode, ada);
  colleague = house.staff('Bo');
  await colleague.acceptInvitation(await lead.invite(), bo);
  draft = await lead.plan({ ...smallPlan, title: 'Draft' });
  locked = await lead.plan({ ...smallPlan, title: 'Locked' });
  await lead.lock(locked, passphrase);
  long = await lead.plan({
    ...smallPlan,
    title: 'Long',
    turns: 60,
    audiences: [{ name: 'All', listeners: 40 }],
    handling: 'day-code',
  });
});
afterAll(() => house.close());
afterEach(() => {
  play = replay;
});

/** Never ends by itself. */
const endless: Rehearse = (_plan, _truth, { signal, progress }) => {
  progress?.({ doing: 'Session 1 of 1', answers: 1, of: 2 });
  return new Promise((_resolve, reject) => {
    signal?.addEventListener('abort', () => reject(signal.reason));
  });
};

const choose = async (study: string, truth?: string, who: StaffBrowser = lead) => {
  const { page } = await who.open(`${study}/rehearsal`);
  const form = page.form(`form[action="${study}/rehearsal"]`);
  return who.send(form, truth === undefined ? {} : { truth });
};
const over = async (study: string) => {
  while ((await lead.open(`${study}/rehearsal/part`)).body.includes('data-playing="yes"')) {
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  return lead.open(`${study}/rehearsal`);
};
const stored = () => dump(house.folder, ['staff_session']);

describe.each([
  ['a draft', () => draft, playAndKeep],
  ['a locked plan', () => locked, replay],
])('%s', (_, study, how) => {
  test('is played on request, shows its letter under a banner, and nothing of it is stored', async () => {
    let begin: () => void = () => {};
    const seen = new Promise<void>((resolve) => {
      begin = resolve;
    });
    play = (...all) => seen.then(() => how(...all));
    const before = stored();
    // The button of the plan page leads to the choice.
    const plan = await lead.open(`${study()}/plan`);
    const asked = await lead.send(plan.page.form(`form[action="${study()}/rehearsal"]`));
    expect([asked.path, asked.status]).toEqual([`${study()}/rehearsal`, 200]);
    const choices = asked.page.all('input[name="truth"]').map((one) => one.getAttribute('value'));
    expect(choices).toEqual(['nothing', 'smallest', 'plain']);
    expect(asked.page.text('main')).toContain('Narrow vent is picked over Wide vent in 75 % of trials.');
    const begun = await choose(study(), 'plain');
    expect(begun.page.text('main')).toContain('Nothing of it is kept');
    begin();
    const { page } = await over(study());
    expect(page.text('.rehearsed')).toContain('Simulated listeners; nothing here is data.');
    expect(page.text('.rehearsed')).toContain('A plain preference');
    expect(page.text('.letter h1')).toBe(smallPlan.question);
    expect(page.all('.verdict-block')).toHaveLength(1);
    expect(page.find('form[action$="/review/sign"]')).toBeNull();
    expect(page.find('a[download]')).toBeNull();
    expect(page.text('.rehearsed')).not.toMatch(/changed|could not be played/);
    expect(stored()).toEqual(before);
  });
});

test('what was found is worked out once, and shown however often somebody looks', async () => {
  let played = record;
  play = async (...all) => {
    played = await replay(...all);
    return played;
  };
  await choose(draft, 'plain');
  const letter = (await over(draft)).page.text('.letter');
  expect(letter).toContain(smallPlan.question);
  // Nothing is left to work it out from.
  played.ledger.length = 0;
  for (let i = 0; i < 2; i++) expect((await lead.open(`${draft}/rehearsal`)).page.text('.letter')).toBe(letter);
});

test('under a plan that was changed since, the letter says that it is about the one before', async () => {
  const changed = 'The plan was changed after this rehearsal. The letter is about the plan as it was.';
  const study = await lead.plan({ ...smallPlan, title: 'Changing' });
  const look = async () => (await lead.open(`${study}/rehearsal`)).page.text('.rehearsed');
  const question = async (words: string) => {
    const { page } = await lead.open(`${study}/plan`);
    await lead.send(page.form('#plan-form'), { question: words, do: 'save' });
  };
  await choose(study, 'plain');
  await over(study);
  expect(await look()).not.toContain(changed);
  await question('Which vent, then?');
  expect(await look()).toContain(changed);
  // Taken back, it is the same plan again.
  await question(smallPlan.question);
  expect(await look()).not.toContain(changed);
});

test('while the plan lacks something, the letter stays within reach and only trying again is withheld', async () => {
  const study = await lead.plan({ ...smallPlan, title: 'Taken apart' });
  const form = `form[action="${study}/rehearsal"]`;
  const question = async (words: string) => {
    const { page } = await lead.open(`${study}/plan`);
    await lead.send(page.form('#plan-form'), { question: words, do: 'save' });
  };
  await choose(study, 'plain');
  const again = (await over(study)).page.form(form);
  await question('');
  const lacking = await lead.open(`${study}/rehearsal`);
  expect(lacking.status).toBe(200);
  expect(lacking.page.text('.rehearsed')).toContain('The plan was changed after this rehearsal.');
  expect(lacking.page.text('.letter h1')).toBe(smallPlan.question);
  expect(lacking.page.find(form)).toBeNull();
  expect(lacking.page.text('.rehearsed')).toMatch(/It can’t be tried again yet\. .*question.* Complete the plan/i);
  expect(lacking.page.find(`.rehearsed a[href="${study}/plan"]`)).not.toBeNull();
  const refused = await lead.send(again, { truth: 'plain' });
  expect([refused.status, refused.page.text('main')]).toEqual([400, expect.stringContaining('can’t be tried yet')]);
  await question(smallPlan.question);
  expect((await lead.open(`${study}/rehearsal`)).page.find(form)).not.toBeNull();
});

test('answers that could not be played are counted on the page', async () => {
  const study = await lead.plan({ ...smallPlan, title: 'Short', audiences: [{ name: 'All', listeners: 4 }] });
  await choose(study, 'plain');
  const { page } = await over(study);
  expect(page.text('.rehearsed')).toMatch(
    /\d+ of \d+ planned answers could not be played: the span from first to last/,
  );
});

test('while one is played its page says what is done, nobody else begins, and it can be stopped', async () => {
  play = endless;
  const playing = await choose(draft, 'nothing');
  expect(playing.page.text('.rehearsing-now')).toBe('Session 1 of 1');
  expect(playing.page.text('.rehearsing-count')).toBe('1 of 2 answers');
  expect(playing.page.find('progress')?.getAttribute('value')).toBe('1');
  expect((await lead.open(`${draft}/rehearsal/part`)).page.find('[data-playing="yes"]')).not.toBeNull();
  const second = await choose(locked, 'nothing', colleague);
  expect([second.status, ...second.page.problems()]).toEqual([
    409,
    'A rehearsal of “Draft” is being played, and there is one at a time. Wait for it, or stop it.',
  ]);
  const stop = (await colleague.open(`${draft}/rehearsal`)).page.form(`form[action="${draft}/rehearsal/stop"]`);
  const stopped = await colleague.send(stop);
  expect(stopped.page.text('.notice')).toBe('Stopped. What was played is gone.');
  // A second tap on the button that stops is no fault.
  expect((await colleague.send(stop)).status).toBe(200);
});

test('one that fails says so on its page, and why in the log', async () => {
  play = () => Promise.reject(new Error('the stage fell down'));
  await choose(draft, 'nothing');
  const { page } = await over(draft);
  expect(page.text('[role="alert"]')).toContain('could not be played to its end');
  expect(house.log.some((line) => line.includes('A rehearsal failed'))).toBe(true);
});

test.each([
  ['a truth that is none', () => draft, 'anything', 'truth', 'Choose what there is to hear.'],
  [
    'what takes too long',
    () => long,
    'smallest',
    'truth',
    'This plan takes 2400 answers, and a rehearsal plays at most 1200. Try it with fewer sessions or listeners.',
  ],
])('refuses %s', async (_, study, truth, path, message) => {
  const form = (await lead.open(`${study()}/rehearsal`)).page.form(`form[action="${study()}/rehearsal"]`);
  const answer = await lead.post(form.action, { ...form.fields, truth }, 'json');
  expect(answer.status).toBe(400);
  expect(answer.json()).toMatchObject({ error: { code: 'bad-input', path, message } });
  const shown = await lead.send(form, { truth });
  expect([shown.status, ...shown.page.problems()]).toEqual([400, message]);
});

test('refuses a draft that is not complete, and leads back to it', async () => {
  const { page } = await lead.open('/studies/new');
  const { path } = await lead.send(page.form('form[action="/studies"]'), { title: 'Empty', preset: 'three' });
  const study = path.replace(/\/plan.*/, '');
  const answer = await lead.open(`${study}/rehearsal`);
  expect(answer.status).toBe(400);
  expect(answer.page.text('main')).toContain('This plan can’t be tried yet.');
  expect(answer.page.find(`a[href="${study}/plan"]`)).not.toBeNull();
});

test('there is no part before anything was played, and no study means no page', async () => {
  expect((await lead.open(`${long}/rehearsal/part`)).status).toBe(404);
  expect((await lead.open('/studies/none/rehearsal')).status).toBe(404);
});
