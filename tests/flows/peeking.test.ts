import { afterAll, describe, expect, test } from 'vitest';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import type { Findings } from '../../shared/findings';
import { ada, bo, dump, ledgerIn, passphrase, removeFolders } from '../support/driver';
import { panelHouse } from '../support/panel-house';

/** Whoever has looked goes on as if they hadn't: what is decided or handed over after a look is not blind. */

afterAll(removeFolders);

const eve = { name: 'Eve', password: 'a password of Eve’s' };
const what = { session: '1', reason: 'A rash behind the ear', passphrase };

async function held(plan: Partial<PlanInMind>) {
  const there = await panelHouse(plan);
  const { house, desk, study } = there;
  const second = house.desk(bo.name);
  await second.acceptInvitation(await desk.invite(), bo);
  const third = house.desk(eve.name);
  await third.acceptInvitation(await desk.invite(), eve);
  await second.openSheet(study, passphrase);
  const { joinCode } = await desk.openSession(study);
  const entries = (kind: string) => ledgerIn(house.folder).filter((entry) => entry.kind === kind);
  return { ...there, second, third, joinCode, entries };
}

const reveal = async (by: DeskBrowser, study: string, fields: Record<string, string>) => {
  const { page } = await by.open(`${study}/reveal`);
  return by.send(page.form('.reveal-form'), { ...what, ...fields });
};
const data = async (by: DeskBrowser, study: string) => (await by.open(`${study}/review/data`)).page;

describe('what is left out', () => {
  test('after a look at the key it is not decided blind, though the data were opened before', async () => {
    const { house, desk, study, joinCode, whole, entries } = await held({ handling: 'two-person', turns: 2 });
    await whole(joinCode, 'Cleo');
    await desk.close(study);
    await desk.send((await data(desk, study)).form('form[action$="/data/open"]'));
    const form = (await data(desk, study)).form('details form');
    const [target = ''] = (await data(desk, study)).all('details option').map((one) => one.getAttribute('value') ?? '');
    await desk.send(form, { target, reason: 'coughed all through' });
    const undo = (await data(desk, study)).form('.left-out form');

    const code = String(entries('handed-over')[0]?.body.code);
    expect((await reveal(desk, study, { code })).status).toBe(200);
    const before = dump(house.folder);
    for (const [sent, fields] of [
      [form, { target, reason: 'does not fit' }],
      [undo, {}],
    ] as const) {
      const refused = await desk.send(sent, fields);
      expect([refused.status, refused.page.text('main')]).toEqual([400, expect.stringContaining('not blind')]);
    }
    expect(dump(house.folder)).toEqual(before);

    const again = await data(desk, study);
    expect(again.find('details')).toBeNull();
    await desk.send(again.form('form[action$="/data/open"]'), { why: 'Nobody else is left' });
    expect(entries('blind-review-opened')).toHaveLength(1);
    expect(entries('role-clash').map(({ body }) => body)).toEqual([
      { staff: 'Ada', roles: ['preparer', 'analyst'], reason: 'Nobody else is left' },
    ]);
    expect((await desk.send(undo)).status).toBe(200);
    expect(entries('exclusion-taken-back')).toHaveLength(1);
    const verdict = await desk.unseal(study, passphrase);
    expect(verdict.page.text('.letter-head')).toContain('The blind review was not blind: Ada had seen');
    await house.close();
  });

  test('in an ABX with codes of the day the desk has seen the answers, by the third code', async () => {
    const plan = { method: 'abx', trials: 2, handling: 'day-code' } as const;
    const { house, desk, study, joinCode, third, whole, entries } = await held(plan);
    await whole(joinCode, 'Cleo');
    await desk.close(study);
    const gate = await data(desk, study);
    expect(gate.text('main')).toContain('You have run the desk');
    const form = gate.form('form[action$="/data/open"]');
    expect((await desk.send(form, { why: '' })).status).toBe(400);
    // Eve has seen nothing of it.
    const open = (await data(third, study)).form('form[action$="/data/open"]');
    expect(open.fields).not.toHaveProperty('why');
    expect((await third.send(open)).page.find('details')).not.toBeNull();
    expect((await desk.send(form, { why: 'Eve is away' })).page.find('details')).not.toBeNull();
    expect(entries('role-clash').map(({ body }) => body)).toEqual([
      { staff: 'Ada', roles: ['operator', 'analyst'], reason: 'Eve is away' },
    ]);
    const verdict = await desk.unseal(study, passphrase);
    expect(verdict.page.text('.letter-head')).toContain('The blind review was not blind: Ada ran the desk');
    await house.close();
  });
});

test('a fresh carrier that was not handed over yet is not spent: whoever has it revealed is off the desk', async () => {
  const { house, desk, study, joinCode, third, come, entries } = await held({ handling: 'two-person', turns: 2 });
  const cleo = await come(joinCode, 'Cleo');
  const seat = (await desk.look(study)).arrivals[0]?.seat;
  if (seat) await desk.act(seat);
  const trials = entries('seated')[0]?.body.trials as { codes: string[] }[];
  const code = trials.at(-1)?.codes[0] ?? '';
  expect(code).toMatch(/^\d{3}$/);

  // Eve has not run the desk, and won't now.
  const shown = await reveal(third, study, { code });
  expect([shown.status, shown.page.text('main')]).toEqual([200, expect.stringContaining('can’t run the desk')]);
  expect((await third.open(`${study}/run`)).page.text('main')).toContain('You have had a code of this study revealed');
  expect(entries('single-blind')).toEqual([]);

  const asked = await reveal(desk, study, { code });
  expect([asked.status, asked.page.text('#reveal-understood-error')]).toEqual([
    400,
    'Say that you understand: from then on this study is single blind.',
  ]);
  expect(entries('revealed')).toHaveLength(1);
  const form = asked.page.form('.reveal-form');
  expect((await desk.send(form, { passphrase, understood: 'yes' })).status).toBe(200);
  expect(entries('single-blind')[0]?.body.reason).toBe(
    'Ada ran the desk or sat on the panel, and then had a code revealed that was still to be handed over.',
  );
  cleo.hangUp();
  await house.close();
});

describe('an ABX with codes of the day, whose desk sees which answers are right', () => {
  const plan = { method: 'abx', trials: 2, handling: 'day-code' } as const;
  const signedInAs = (there: Awaited<ReturnType<typeof held>>, desk: DeskBrowser) => {
    const phone = there.house.phone('laptop');
    for (const name of ['fh_visit', 'fh_staff']) phone.cookies.set(name, desk.cookies.get(name) ?? '');
    return phone;
  };

  test('whoever runs the desk doesn’t listen, and whoever listens doesn’t run the desk', async () => {
    const there = await held(plan);
    const { house, desk, study, joinCode, third, come } = there;
    const before = dump(house.folder);
    for (const [phone, alias] of [
      [signedInAs(there, desk), 'Nightingale'],
      [house.phone('x'), ' aDa'],
    ] as const) {
      const refused = await phone.join(joinCode, { alias });
      expect([refused.status, refused.page.text('main')]).toEqual([
        403,
        expect.stringContaining('Whoever runs the desk of this study can’t listen in it'),
      ]);
    }
    expect(dump(house.folder)).toEqual(before);

    // Eve listens. She can't hand over to herself, nor look at the desk; and once the desk is hers she isn't seated.
    const laptop = signedInAs(there, third);
    const csrf = (await third.open(`${study}/run`)).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    await come(joinCode, 'Wren', laptop);
    expect((await third.open(`${study}/run`)).page.text('main')).toContain('You sit on the panel of this study');
    expect((await third.post(`${study}/run/pause`, { _csrf: csrf })).status).toBe(403);
    await desk.giveRole(study, 'operator', 'Eve');
    await desk.giveRole(study, 'operator', 'Ada');
    const seat = (await desk.look(study)).arrivals[0]?.seat;
    const refused = seat && (await desk.tryAct(seat));
    expect([refused?.status, refused?.page.text('main')]).toEqual([
      403,
      expect.stringContaining('Wren may not sit: it is somebody who runs the desk'),
    ]);
    laptop.hangUp();
    await house.close();
  });
});

test('no note of the desk has a code beside what it holds: whoever reviews the data by code reads it', async () => {
  const { house, desk, study } = await held({ handling: 'day-code', turns: 2 });
  const csrf = (await desk.open(`${study}/run`)).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
  const before = dump(house.folder);
  for (const [path, fields] of [
    ['incident', { category: 'other', text: '417 is the wide vent' }],
    ['single-blind', { reason: 'Somebody said that 4 1 7 is WV-001' }],
  ] as const) {
    const refused = await desk.post(`${study}/run/${path}`, { _csrf: csrf, ...fields });
    expect([path, refused.status]).toEqual([path, 400]);
    expect(refused.page.text('main')).toContain('This has a code and a sample’s name side by side');
  }
  expect(dump(house.folder)).toEqual(before);
  await desk.post(`${study}/run/incident`, { _csrf: csrf, category: 'other', text: '417 fell on the floor' });
  expect(ledgerIn(house.folder).at(-1)).toMatchObject({ kind: 'incident', body: { text: '417 fell on the floor' } });
  await house.close();
});

test('whoever amends the plan says no less than the record has that they saw', async () => {
  const { house, desk, study, joinCode, whole, entries } = await held({ handling: 'two-person', turns: 2 });
  await whole(joinCode, 'Cleo');
  await desk.close(study);
  const amend = async (fields: Record<string, string>) => {
    const form = (await desk.open(`${study}/amend`)).page.form(`form[action="${study}/amend"]`);
    return desk.send(form, { reason: 'One more evening', passphrase, ...fields });
  };
  await desk.send((await data(desk, study)).form('form[action$="/data/open"]'));
  const progress = await amend({ seen: 'progress' });
  expect([progress.status, progress.page.text('#seen-error')]).toEqual([
    400,
    'The record has that you looked at the answers by code. Say so.',
  ]);
  expect((await reveal(desk, study, { code: String(entries('handed-over')[0]?.body.code) })).status).toBe(200);
  const answers = await amend({ seen: 'answers' });
  expect([answers.status, answers.page.text('#seen-error')]).toEqual([
    400,
    'The record has that you opened a sheet, or had a code revealed. Say so.',
  ]);
  expect(entries('amended')).toEqual([]);
  expect((await amend({ seen: 'key', seenWords: 'One code, after a rash' })).status).toBe(200);
  expect(entries('amended')[0]?.body).toMatchObject({ reopened: true, seen: { kind: 'key' } });
  await house.close();
});

describe('sign-off', () => {
  test('what is signed is what was read, and who was to sign can’t be swapped unseen', async () => {
    const { house, desk, study, joinCode, third, whole, entries } = await held({ handling: 'two-person', turns: 2 });
    await desk.giveRole(study, 'approver', 'Eve');
    await whole(joinCode, 'Cleo');
    await desk.close(study);
    await desk.unseal(study, passphrase);
    const read = (await third.open(`${study}/review`)).page.form('form[action$="/review/sign"]');
    const page = await data(desk, study);
    const [target = ''] = page.all('details option').map((one) => one.getAttribute('value') ?? '');
    await desk.send(page.form('details form'), { target, reason: 'too bright to be true' });
    const sign = { decision: 'sign', meaning: 'approved', reason: '', password: eve.password };
    const stale = await third.send(read, sign);
    expect([stale.status, stale.page.problems()]).toEqual([
      409,
      ['Something was left out or taken back in meanwhile. Look at the verdict again, then decide.'],
    ]);
    expect(entries('signed')).toEqual([]);

    const taken = (await desk.open(`${study}/team`)).page
      .all('form[action$="/team/take"]')
      .findIndex((form) => form.querySelector('input[name="role"]')?.getAttribute('value') === 'approver');
    expect(taken).toBeGreaterThanOrEqual(0);
    const csrf = read.fields._csrf ?? '';
    const eves = (dump(house.folder).staff as { id: string; name: string }[]).find(({ name }) => name === 'Eve')?.id;
    const token = (await desk.open(`${study}/team`)).page.find('input[name="_csrf"]')?.getAttribute('value') ?? csrf;
    await desk.post(`${study}/team/take`, { _csrf: token, staff: eves ?? '', role: 'approver' });
    const signed = await desk.decide(study, {
      ...sign,
      decision: 'sign',
      password: ada.password,
      alone: 'Eve is away',
    });
    expect(signed.page.text('.sign-off')).toContain('Ada also ran the desk and left answers out in this study.');
    expect(signed.page.text('.letter-head')).toContain('After unsealing, Ada took the approver’s role away from Eve.');
    const found = JSON.parse(await desk.download(study, 'findings.json')) as Findings;
    expect(found.blind.roles.find(({ role }) => role === 'approver')?.given).toEqual(['Eve']);
    await house.close();
  });
});
