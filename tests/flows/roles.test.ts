import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { checkRecord } from '../../server/blinding/check/check-record';
import { record } from '../../server/blinding/ledger';
import type { Browser } from '../../server/demo/browser';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import { findingsHash, findingsOf } from '../../server/review/findings';
import type { StudyId } from '../../shared/brands';
import type { Findings } from '../../shared/findings';
import {
  ada,
  bo,
  copyOf,
  dump,
  type House,
  ledgerIn,
  newFolder,
  openHouse,
  passphrase,
  removeFolders,
  smallPlan,
} from '../support/driver';
import { playTo } from '../support/panel-house';
import { staffId } from './every-state';

/** Who may do and see what in a study, and that nobody who knows the key listens in it, by any door. */

const op = { name: 'Op', password: 'a password of one’s own' };
const eve = { name: 'Eve', password: 'a password of Eve’s' };

let ready: string;
/** Two sittings each; and one in which a single person does it all. */
let study: string;
let solo: string;
const cookies: Record<string, [string, string][]> = {};

beforeAll(async () => {
  ready = newFolder();
  const house = await openHouse(ready);
  const desk = house.desk('Ada');
  await desk.makeFirstAccount(house.firstCode, ada);
  const keep = ({ name, cookies: jar }: Browser) => {
    cookies[name] = ['fh_visit', 'fh_staff'].map((one) => [one, jar.get(one) ?? '']);
  };
  keep(desk);
  await Promise.all(
    [bo, op, eve].map(async (account) => {
      const other = house.desk(account.name);
      await other.acceptInvitation(await desk.invite(), account);
      keep(other);
    }),
  );
  study = await desk.plan({ ...smallPlan, sessions: 2, gapHours: 18 });
  solo = await desk.plan({ ...smallPlan, title: 'By one person', handling: 'solo' });
  await Promise.all([desk.lock(study, passphrase), desk.lock(solo, passphrase)]);
  await house.close();
});
afterAll(removeFolders);

let house: House;
const phones: PhoneBrowser[] = [];
afterEach(async () => {
  for (const phone of phones.splice(0)) phone.hangUp();
  await house.close();
});

const as = (name: string): DeskBrowser => {
  const browser = house.desk(name);
  for (const [cookie, value] of cookies[name] ?? []) browser.cookies.set(cookie, value);
  return browser;
};
const phone = (name: string): PhoneBrowser => {
  const made = house.phone(name);
  phones.push(made);
  return made;
};
const begin = async () => {
  house = await openHouse(copyOf(ready));
  return { ada: as('Ada'), bo: as('Bo'), op: as('Op'), eve: as('Eve') };
};
const kinds = () => ledgerIn(house.folder).map(({ kind }) => kind);
const last = (kind: string) => ledgerIn(house.folder).findLast((entry) => entry.kind === kind)?.body;

async function come(code: string, alias: string, there = phone(alias)): Promise<PhoneBrowser> {
  await there.join(code, { alias });
  await there.checkIn();
  await there.consent();
  await there.connect();
  return there;
}
const seat = async (desk: DeskBrowser, alias: string) => {
  const form = (await desk.look(study)).arrivals.find((arrival) => arrival.alias === alias)?.seat;
  if (!form) throw new Error(`${alias} is not ready.`);
  return desk.tryAct(form);
};

describe('roles that were given', () => {
  const tabs = async (browser: Browser, path: string) =>
    (await browser.open(path)).page.all('.tabs a').map((tab) => tab.textContent);

  test('each sees the rooms of their roles and no others; who has none, only that the study is there', async () => {
    const { ada: designer, bo: preparer, op: operator, eve: stranger } = await begin();
    // Before any was given all is open to all, but the plan to its designer.
    expect(await tabs(stranger, `${study}/plan`)).toEqual(['Plan', 'Prepare', 'Run', 'Review', 'Team']);
    await designer.giveRole(study, 'preparer', 'Bo');
    await designer.giveRole(study, 'operator', 'Op');
    await designer.giveRole(study, 'analyst', 'Ada');
    // The approver's is still open: to whoever was given none.
    expect(await tabs(stranger, `${study}/team`)).toEqual(['Plan', 'Team']);
    await designer.giveRole(study, 'approver', 'Ada');
    expect(last('role-given')).toEqual({ staff: 'Ada', role: 'approver' });

    expect(await tabs(designer, `${study}/team`)).toEqual(['Plan', 'Review', 'Team']);
    expect(await tabs(preparer, `${study}/team`)).toEqual(['Plan', 'Prepare', 'Team']);
    expect(await tabs(operator, `${study}/team`)).toEqual(['Run', 'Team']);
    const refused = await operator.open(`${study}/plan`);
    expect([refused.status, refused.page.text('h1')]).toEqual([403, 'Not for you in this study']);
    expect(refused.page.text('main')).toContain('In this study that is designer: Ada; preparer: Bo; analyst: Ada');
    expect(refused.page.text('main')).toContain('You are the operator of this study.');
    expect(refused.body).not.toContain('Narrow vent');

    const home = (await stranger.open('/')).page;
    expect(home.text('main')).toContain('Vent study');
    expect(home.find(`a[href^="${study}"]`)).toBeNull();
    for (const path of ['', '/plan', '/prepare', '/run', '/run/panel', '/run/part', '/review', '/team', '/exposure']) {
      expect([path, (await stranger.open(study + path)).status]).toEqual([path, 403]);
    }
    await expect(stranger.connect(study)).rejects.toThrow('not-found');
    const csrf = (await stranger.open('/studies/new')).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    const before = dump(house.folder);
    for (const [path, fields] of [
      ['/run/open-session', {}],
      ['/prepare/open', { session: '1', passphrase }],
      ['/team/give', { staff: staffId(house.folder, 'Eve'), role: 'operator' }],
      ['/review/close', { understood: 'yes' }],
      ['/nowhere', {}],
      ['/constructor', {}],
    ] as const) {
      const status = ['/nowhere', '/constructor'].includes(path) ? 404 : 403;
      expect([path, (await stranger.post(study + path, { _csrf: csrf, ...fields })).status]).toEqual([path, status]);
    }
    // Nor may who has another role, though they can see the page.
    expect((await preparer.open(`${study}/team`)).page.find('form')?.getAttribute('action')).toBe('/account/sign-out');
    expect(dump(house.folder)).toEqual(before);

    // Taken away, it is open again.
    const form = (await designer.open(`${study}/team`)).page.form('form[action$="/team/take"]');
    expect((await designer.send(form)).status).toBe(200);
    expect(kinds().at(-1)).toBe('role-taken-away');
    await operator.openSession(study);
    expect((await operator.look(study)).joinCode).toMatch(/^[A-Z]{5}$/);
  });

  test('preparer and operator in one person: refused, or with a reason on every first line', async () => {
    const { ada: designer, op: operator } = await begin();
    await designer.giveRole(study, 'operator', 'Op');
    const before = dump(house.folder);
    await expect(designer.giveRole(study, 'preparer', 'Op')).rejects.toThrow();
    expect(dump(house.folder)).toEqual(before);

    const { page } = await designer.open(`${study}/team`);
    const form = page.form('form.give-role:has(input[value="preparer"])');
    const staff = staffId(house.folder, 'Op');
    const asked = await designer.send(form, { staff });
    expect([asked.status, asked.page.find('#singleBlind') !== null]).toEqual([409, true]);
    const again = asked.page.form('form.give-role:has(#singleBlind)');
    const given = await designer.send(again, { singleBlind: 'yes', reason: 'We are only two' });
    const why = 'Single blind: Op is the operator and was made the preparer: We are only two';
    expect(given.page.text('header')).toContain(why);
    expect(given.page.text('main')).toContain('Op is the preparer as well: single blind.');
    expect(kinds().slice(-3)).toEqual(['role-clash', 'single-blind', 'role-given']);
    expect(last('role-clash')).toEqual({ staff: 'Op', roles: ['operator', 'preparer'], reason: 'We are only two' });
    await operator.openSheet(study, passphrase);
    await operator.openSession(study);
    await designer.close(study);
    const verdict = await designer.unseal(study, passphrase);
    expect(verdict.page.text('.letter-head')).toContain(`Single blind ${why}`);
  });
});

describe('whoever knows the key listens by no door', () => {
  test.each([
    ['two people', () => study],
    ['one person, single blind', () => solo],
  ])('by name, by the account in the browser, by the honest answer: %s', async (_name, which) => {
    const { ada: designer, bo: preparer } = await begin();
    // The preparer's role is enough; it need not have been used.
    if (which() === study) await designer.giveRole(study, 'preparer', 'Bo');
    else await preparer.openSheet(solo, passphrase);
    const { joinCode } = await designer.openSession(which());
    const before = dump(house.folder);
    const door = async (there: PhoneBrowser, who: { alias: string; seen?: 'yes' }) => {
      const answer = await there.join(joinCode, who);
      expect([answer.status, answer.page.text('main')]).toEqual([403, expect.stringContaining('can’t listen in this')]);
    };
    await door(phone('x'), { alias: 'Somebody', seen: 'yes' });
    for (const alias of ['Bo', ' bO', 'B\u200bo']) await door(phone('x'), { alias });
    const laptop = phone('laptop');
    for (const [name, value] of cookies.Bo ?? []) laptop.cookies.set(name, value);
    await door(laptop, { alias: 'Nightingale' });
    expect(dump(house.folder)).toEqual(before);
    expect((await phone('Cleo').join(joinCode, { alias: 'Cleo' })).page.text('h1')).toBe('Your own link');
  });

  test('somebody else’s link, opened where the preparer is signed in, leads nowhere', async () => {
    const { ada: desk, bo: preparer } = await begin();
    await preparer.openSheet(study, passphrase);
    const { joinCode } = await desk.openSession(study);
    const cleo = await come(joinCode, 'Cleo');
    await seat(desk, 'Cleo');
    const link = new URL(cleo.link).pathname;
    const laptop = phone('laptop');
    const token = (await laptop.open('/j')).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    const [, signedIn] = cookies.Bo ?? [];
    if (signedIn) laptop.cookies.set(...signedIn);
    const before = dump(house.folder);
    expect((await laptop.open(link)).status).toBe(403);
    for (const path of ['/listen', '/listen/link']) expect((await laptop.open(path)).status).toBe(403);
    for (const path of ['/listen/here', '/listen/check-in', '/listen/consent', '/listen/act']) {
      expect([path, (await laptop.post(path, { _csrf: token })).status]).toEqual([path, 403]);
    }
    await expect(laptop.connect()).rejects.toThrow();
    expect(dump(house.folder)).toEqual(before);
    // Cleo, who knows nothing, goes on.
    expect((await cleo.where())?.kind).toBe('waiting');
  });

  test('whoever is given the preparer’s role while on the panel is not seated any more', async () => {
    const { ada: desk } = await begin();
    const { joinCode } = await desk.openSession(study);
    const robin = phone('Bo’s phone');
    for (const [name, value] of cookies.Bo ?? []) robin.cookies.set(name, value);
    await come(joinCode, 'Robin', robin);
    await expect(desk.giveRole(study, 'preparer', 'Bo')).rejects.toThrow();
    const form = (await desk.open(`${study}/team`)).page.form('form.give-role:has(input[value="preparer"])');
    const fields = { staff: staffId(house.folder, 'Bo'), singleBlind: 'yes', reason: 'Nobody else is left' };
    expect((await desk.send(form, fields)).status).toBe(200);
    const refused = await seat(desk, 'Robin');
    expect([refused.status, refused.page.text('main')]).toEqual([403, expect.stringContaining('Robin may not sit')]);
  });

  test('a listener who looks has had the last sitting; what is still answered in it is flagged', async () => {
    const { ada: desk, op: listener, eve: other } = await begin();
    const { joinCode } = await desk.openSession(study);
    // Op and Eve listen on their own phones, where they are signed in as well.
    const seated = phone('Op’s phone');
    for (const [name, value] of cookies.Op ?? []) seated.cookies.set(name, value);
    await come(joinCode, 'Robin', seated);
    await seat(desk, 'Robin');
    const waiting = phone('Eve’s phone');
    for (const [name, value] of cookies.Eve ?? []) waiting.cookies.set(name, value);
    await come(joinCode, 'Wren', waiting);
    for (const one of [listener, other]) await one.openSheet(study, passphrase, { understood: 'yes' });

    // Who wasn't seated yet is told so at once, and no desk can undo it.
    expect((await waiting.where())?.kind).toBe('out');
    const csrf = (await desk.open(`${study}/run`)).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    const sitting = last('stopped')?.sitting;
    expect(last('stopped')).toEqual({ sitting, why: 'knows-key' });
    const back = await desk.post(`${study}/run/seat-again`, { _csrf: csrf, sitting: String(sitting) });
    expect([back.status, back.page.text('main')]).toEqual([403, expect.stringContaining('Wren may not sit')]);
    expect((await waiting.join(joinCode, {})).status).toBe(403);

    await playTo(desk, study, seated, 'finished');
    await desk.closeSession(study);
    house.wait(24);
    const second = await desk.openSession(study);
    // By the link that is in the browser, by the code, by a new card.
    expect((await seated.open('/listen')).status).toBe(403);
    expect((await seated.join(second.joinCode, {})).status).toBe(403);
    const robin = (dump(house.folder).listener as { id: string; alias: string }[]).find(
      ({ alias }) => alias === 'Robin',
    );
    const card = await desk.post(`${study}/run/card`, { _csrf: csrf, listener: robin?.id ?? '' });
    const made = phone('a new phone');
    await made.open(new URL(/http[^"\s<]*\/me\/[\w-]+/.exec(card.body)?.[0] ?? '').pathname);
    expect((await made.join(second.joinCode, {})).status).toBe(403);

    await desk.close(study);
    await desk.unseal(study, passphrase);
    const csv = await desk.download(study, 'answers.csv');
    const rows = csv.trim().split(/\r?\n/).slice(1);
    expect(rows.length).toBeGreaterThan(1);
    for (const row of rows) expect(row).toContain('saw-key');
    const { blind } = JSON.parse(await desk.download(study, 'findings.json')) as Findings;
    expect(blind.label).toBe('Single blind');
    expect(blind.keyEvents.map(({ who, planned }) => [who, planned])).toEqual([
      ['Op', true],
      ['Eve', false],
      ['Ada', true],
    ]);
  });
});

describe('who signs', () => {
  test('not whoever planned and ran it alone without a reason, which stands first; every try at the key too', async () => {
    const { ada: alone, bo: preparer } = await begin();
    await preparer.openSheet(study, passphrase);
    await alone.openSession(study);
    await expect(alone.openSheet(study, 'a wild guess', { understood: 'yes' })).rejects.toThrow();
    await alone.close(study);
    await alone.unseal(study, passphrase);
    const sign = { decision: 'sign', meaning: 'approved', reason: '', password: ada.password } as const;
    expect((await alone.decide(study, sign)).status).toBe(400);
    const signed = await alone.decide(study, { ...sign, alone: 'Everybody else has left' });
    const head = signed.page.text('.letter-head');
    expect(head).toContain(
      'Not independent: Ada planned this study, ran its desk and signed it. Everybody else has left',
    );
    const whole = signed.page.text('.letter');
    expect(whole).toContain('Ada typed a wrong passphrase, at the sheet');
    expect(whole).toContain('Bo opened the sheet, session 1');
    expect(whole).toContain('1 not as planned');
    expect(last('signed')).toMatchObject({ alone: 'Everybody else has left' });
  });

  test('somebody else needs none; once the role was given nobody else signs', async () => {
    const { ada: designer, op: operator, eve: approver } = await begin();
    await operator.openSession(study);
    await designer.close(study);
    await designer.unseal(study, passphrase);
    await designer.giveRole(study, 'approver', 'Eve');
    const waits = await designer.open(`${study}/review`);
    expect(waits.page.text('.sign-off')).toContain('Waits for Eve.');
    expect(waits.page.find('form[action$="/review/sign"]')).toBeNull();
    const sign = { decision: 'sign', meaning: 'approved', reason: '', password: eve.password } as const;
    // What may touch the verdict: whoever signs says by a tick to have known of it.
    const id = study.replace('/studies/', '') as StudyId;
    await house.store.write((tx) =>
      record(tx, id, {
        at: house.clock.at,
        actor: 'staff:Ada',
        kind: 'single-blind',
        body: { reason: 'Ada fell ill' },
      }),
    );
    const unread = await approver.decide(study, { ...sign, known: [] });
    expect([unread.status, unread.page.text('#known-error')]).toEqual([
      400,
      'Before you sign, tick that you know of this: The study became single blind: Ada fell ill',
    ]);
    const signed = await approver.decide(study, sign);
    expect(signed.page.text('.sign-off')).toContain(
      'Eve signed knowing of: The study became single blind: Ada fell ill',
    );
    expect(signed.page.text('.letter-head')).not.toContain('Not independent');
    expect(last('signed')).not.toHaveProperty('alone');
    expect(last('signed')?.deviations).toMatchObject([{ words: 'The study became single blind: Ada fell ill' }]);
    // A role given after unsealing changes no figure, and the record holds.
    const text = await approver.download(study, 'record.json');
    const { lines } = checkRecord(text, (whole) => findingsHash(findingsOf(whole)));
    expect(lines.filter(({ holds }) => holds === false)).toEqual([]);
  });

  test('whoever has seen the key reviews the data only with a reason', async () => {
    const { ada: designer, bo: preparer } = await begin();
    await preparer.openSheet(study, passphrase);
    await designer.openSession(study);
    await designer.close(study);
    const gate = await preparer.open(`${study}/review/data`);
    const form = gate.page.form('form[action$="/data/open"]');
    const before = dump(house.folder);
    expect((await preparer.send(form, { why: '' })).status).toBe(400);
    expect(dump(house.folder)).toEqual(before);
    expect((await preparer.send(form, { why: 'Ada is away' })).status).toBe(200);
    expect(last('role-clash')).toEqual({ staff: 'Bo', roles: ['preparer', 'analyst'], reason: 'Ada is away' });
    const verdict = await designer.unseal(study, passphrase);
    expect(verdict.page.text('.letter-head')).toContain('The blind review was not blind: Bo had seen');
  });
});

test('a study that begins from a team has its handling, whatever it is about', async () => {
  const { ada: designer } = await begin();
  const teams = (await designer.open('/about/teams')).page;
  const [one, two] = teams.all('.team-size a.button').map((link) => link.getAttribute('href') ?? '');
  for (const [path, handling] of [
    [one, 'solo'],
    [two, 'day-code'],
  ] as const) {
    const { page } = await designer.open(path ?? '');
    const made = await designer.send(page.form('form[action="/studies"]'), { title: 'Shells', preset: 'weeks' });
    expect(made.page.find('input[name="handling"][checked]')?.getAttribute('value')).toBe(handling);
  }
});
