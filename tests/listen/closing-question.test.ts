import { afterAll, describe, expect, test } from 'vitest';
import { type BlindPlan, blindPlanOf } from '../../server/blind-plan';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import { lastCode } from '../../server/listen/closing-question';
import type { TrialRow } from '../../server/store/tables';
import type { SittingId, TrialId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { dump, ledgerIn, removeFolders } from '../support/driver';
import { panelHouse, playTo } from '../support/panel-house';
import { soundHouse } from '../support/sound-house';

/** The question after everything, over real HTTP and sockets. */

afterAll(removeFolders);

const closingQuestion = ['the one we sell', 'a new one'];

async function atTheEnd(more: Partial<PlanInMind> = {}) {
  const there = await panelHouse({ closingQuestion, ...more });
  const { joinCode } = await there.desk.openSession(there.study);
  const phone = await there.come(joinCode, 'Heron');
  const seat = (await there.desk.look(there.study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Heron is not ready.');
  await there.desk.act(seat);
  await playTo(there.desk, there.study, phone, 'guessing');
  const trials = ledgerIn(there.house.folder).find(({ kind }) => kind === 'seated')?.body.trials as {
    codes: string[];
  }[];
  const code = trials.at(-1)?.codes.at(-1) ?? '';
  const post = async (fields: Record<string, string>, accept: 'page' | 'json' = 'page') =>
    phone.post('/listen/guess', { _csrf: await csrfOf(phone), ...fields }, accept);
  return { ...there, phone, code, post };
}

const csrfOf = async (phone: PhoneBrowser): Promise<string> =>
  (await phone.open('/listen')).page.find('meta[name="csrf"]')?.getAttribute('content') ?? '';

const guessed = (folder: string) => ledgerIn(folder).filter(({ kind }) => kind === 'guessed');

test('asked about the last sample, by the alphabet, in the plan’s words and no other; then it is over', async () => {
  const { house, phone, code, post, desk, study } = await atTheEnd();
  const { place } = phone;
  expect((place?.html ?? '').replaceAll('\u2009', '')).toContain(`<span class="code">${code}</span>`);
  expect(place?.choices).toEqual(['1', '0', 'none']);
  const { page } = await phone.open('/listen');
  const labels = page.all('.answers label').map((label) => label.textContent?.trim());
  expect(labels).toEqual(['a new one', 'the one we sell', 'I have no idea']);
  expect(page.html).not.toMatch(/vent|NV-|WV-/i);
  expect(page.find('.answers [checked], .how-sure [checked]')).toBeNull();

  const answer = await post({ code, choice: '1', sure: 'fairly' });
  expect([answer.status, answer.location]).toEqual([303, '/listen']);
  expect((await phone.where())?.kind).toBe('finished');
  const [entry, ...more] = guessed(house.folder);
  expect(more).toEqual([]);
  expect(entry?.actor).toBe(`listener:${entry?.body.listener}`);
  expect(entry?.body).toEqual({
    sitting: expect.any(String),
    listener: expect.any(String),
    code,
    choice: 1,
    sure: 'fairly',
    skipped: false,
  });
  // Sent twice it is one; another answer doesn't take its place.
  expect((await post({ code, choice: '1', sure: 'fairly' })).status).toBe(303);
  const other = await post({ code, choice: '0', sure: 'fairly' }, 'json');
  expect([other.status, other.json()]).toMatchObject([409, { error: { code: 'already-answered', path: 'choice' } }]);
  expect(guessed(house.folder)).toHaveLength(1);
  // The desk isn't told what was said.
  expect((await desk.open(`${study}/run`)).body).not.toMatch(/a new one|the one we sell/);
  phone.hangUp();
  await house.close();
});

test('what is missing or unknown is said at its field, and what was chosen stays', async () => {
  const { house, phone, code, post } = await atTheEnd();
  const before = dump(house.folder);
  const nothing = await post({ code });
  expect([nothing.status, nothing.page.problems()]).toEqual([
    400,
    ['Choose which one you think it was, or “I have no idea”.'],
  ]);
  const unsure = await post({ code, choice: '0' });
  expect([unsure.status, unsure.page.problems()]).toEqual([400, ['Say how sure you are.']]);
  expect(unsure.page.find('input[name="choice"][checked]')?.getAttribute('value')).toBe('0');
  expect(unsure.page.find('.how-sure .error')?.textContent).toBe('Say how sure you are.');
  expect(unsure.page.find('[data-problems] a')?.getAttribute('href')).toBe('#sure');
  for (const [wrong, path] of [
    [{ code, choice: '2', sure: 'guess' }, 'choice'],
    [{ code, choice: 'a new one', sure: 'guess' }, 'choice'],
    [{ code, choice: '1', sure: 'very' }, 'sure'],
    [{ code: '12', choice: '1', sure: 'guess' }, 'code'],
    [{ code, choice: '1', sure: 'guess', prototype: 'x' }, ''],
    [{ choice: '1', sure: 'guess' }, 'code'],
  ] as const) {
    const refused = await post(wrong, 'json');
    expect([refused.status, refused.json()]).toMatchObject([400, { error: { code: 'bad-input' } }]);
    if (path) expect(refused.json()).toMatchObject({ error: { path } });
  }
  // Of a page about another sample nothing is taken.
  const behind = await post({ code: code === '417' ? '418' : '417', choice: '1', sure: 'guess' }, 'json');
  expect([behind.status, behind.json()]).toMatchObject([409, { error: { code: 'wrong-place' } }]);
  expect(dump(house.folder)).toEqual(before);
  phone.hangUp();
  await house.close();
});

test('no idea needs no sureness; and it may be skipped', async () => {
  const first = await atTheEnd();
  await first.phone.guess({ choice: 'none' });
  expect(first.phone.place?.kind).toBe('finished');
  expect(guessed(first.house.folder)[0]?.body).toMatchObject({ choice: null, sure: null, skipped: false });
  first.phone.hangUp();
  await first.house.close();

  const second = await atTheEnd();
  await second.phone.guess(null);
  expect((await second.phone.where())?.kind).toBe('finished');
  expect(guessed(second.house.folder)[0]?.body).toMatchObject({ choice: null, sure: null, skipped: true });
  second.phone.hangUp();
  await second.house.close();
});

test('of twelve samples beside a reference each can be named', async () => {
  const prototypes = aPlan({ method: 'reference-and-anchors', prototypes: 10, anchors: [3500, 7000] });
  const labels = prototypes.prototypes.map(({ id: prototype }, at) => ({
    prototype,
    words: `the one of week ${at + 1}`,
  }));
  const plan: Plan = {
    ...prototypes,
    audiences: [{ id: 'home', name: 'Home', listeners: 1 }],
    closingQuestion: { labels },
  };
  const { house, desk, study } = await soundHouse(plan);
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Heron');
  await phone.join(joinCode, { alias: 'Heron' });
  await phone.checkIn();
  await phone.consent();
  await phone.connect();
  const seat = (await desk.look(study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Heron is not ready.');
  await desk.act(seat);
  await playTo(desk, study, phone, 'guessing');
  expect(phone.place?.choices).toHaveLength(13);
  const code = (await phone.open('/listen')).page.form('form[action="/listen/guess"]').fields.code ?? '';
  const fields = { _csrf: await csrfOf(phone), code, sure: 'guess' };
  const beyond = await phone.post('/listen/guess', { ...fields, choice: '12' }, 'json');
  expect([beyond.status, beyond.json()]).toMatchObject([400, { error: { path: 'choice' } }]);
  expect((await phone.post('/listen/guess', { ...fields, choice: '11' })).status).toBe(303);
  expect(guessed(house.folder).map(({ body }) => body.choice)).toEqual([11]);
  phone.hangUp();
  await house.close();
});

test('not before the last sitting, and gone when the study is closed', async () => {
  const { house, desk, study, come, sit } = await panelHouse({ closingQuestion, sessions: 2, gapHours: 1 });
  const one = await desk.openSession(study);
  const phone = await come(one.joinCode, 'Heron');
  await sit(phone, 'Heron');
  expect(phone.place?.kind).toBe('finished');
  const early = await phone.post(
    '/listen/guess',
    { _csrf: await csrfOf(phone), code: '417', choice: '1', sure: 'guess' },
    'json',
  );
  expect([early.status, early.json()]).toMatchObject([409, { error: { code: 'wrong-place' } }]);
  await desk.closeSession(study);
  house.wait(2);
  const two = await desk.openSession(study);
  await come(two.joinCode, 'Heron', phone);
  const seat = (await desk.look(study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Heron is not ready.');
  await desk.act(seat);
  await playTo(desk, study, phone, 'guessing');
  // The session may be closed before anybody has thought about it.
  await desk.closeSession(study);
  expect((await phone.where())?.kind).toBe('guessing');
  const { page } = await phone.open('/listen');
  const form = page.form('form[action="/listen/guess"]');
  await desk.close(study);
  expect((await phone.where())?.kind).toBe('finished');
  const late = await phone.send(form, { choice: '0', sure: 'certain' });
  expect(late.status).toBe(409);
  expect(late.page.text('body')).toContain('This study is closed.');
  expect(guessed(house.folder)).toEqual([]);
  phone.hangUp();
  await house.close();
});

describe('the last sample whose code was shown', () => {
  const trial = (codes: string[], more: Partial<TrialRow> = {}): TrialRow => ({
    id: 'T' as TrialId,
    sitting_id: 'S' as SittingId,
    ordinal: 1,
    practice: 0,
    codes: JSON.stringify(codes),
    shown: '[]',
    step: 'done',
    presentation: codes.length,
    retries: 0,
    replaces: null,
    waiting_since: null,
    answer: null,
    ...more,
  });
  const blind = (wish: PlanWish = {}): BlindPlan => blindPlanOf({ plan: JSON.stringify(aPlan(wish)) });
  const abx = (handling: Plan['handling']) => blind({ method: 'abx', handling });

  test('of an ABX the third, but for day codes, where it bears its twin’s', () => {
    expect(lastCode([trial(['201', '202', '203'])], abx('two-person'))).toBe('203');
    expect(lastCode([trial(['201', '202', '201'])], abx('day-code'))).toBe('202');
    expect(lastCode([trial(['201', '202', '201'])], abx('solo'))).toBe('202');
  });

  test('of the last trial that counts', () => {
    const trials = [
      trial(['201', '202'], { practice: 1 }),
      trial(['204', '205']),
      trial(['207', '208'], { step: 'void' }),
      trial(['213', '214'], { step: 'lost' }),
    ];
    expect(lastCode(trials, blind())).toBe('205');
    expect(lastCode([trials[0], trials[2]] as TrialRow[], blind())).toBeNull();
    expect(lastCode([trial(['302'])], blind({ method: 'first-impressions' }))).toBe('302');
  });
});
