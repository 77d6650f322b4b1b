import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import {
  ada,
  copyOf,
  dump,
  type House,
  handleAll,
  newFolder,
  openHouse,
  passphrase,
  removeFolders,
} from '../support/driver';
import { twoUnits } from './every-state';

/** What goes wrong with phones that nobody meant to go wrong, and what somebody at a phone might try. */

let ready: string;
const studies: string[] = [];
const staff: Record<string, string> = {};

beforeAll(async () => {
  ready = newFolder();
  const house = await openHouse(ready);
  const desk = house.desk('Ada');
  await desk.makeFirstAccount(house.firstCode, ada);
  for (const title of ['Vents', 'Cables']) {
    const study = await desk.plan({ ...twoUnits, title, sessions: 2 });
    await desk.lock(study, passphrase);
    studies.push(study);
  }
  for (const name of ['fh_visit', 'fh_staff']) staff[name] = desk.cookies.get(name) ?? '';
  await house.close();
});
afterAll(removeFolders);

let house: House;
const phones: PhoneBrowser[] = [];
afterEach(async () => {
  for (const phone of phones.splice(0)) phone.hangUp();
  await house.close();
});

async function serve(): Promise<DeskBrowser> {
  house = await openHouse(copyOf(ready));
  const desk = house.desk('Ada');
  for (const [name, value] of Object.entries(staff)) desk.cookies.set(name, value);
  return desk;
}

async function arrive(code: string, alias: string): Promise<PhoneBrowser> {
  const phone = house.phone(alias);
  phones.push(phone);
  await phone.join(code, { alias });
  await phone.checkIn();
  await phone.consent();
  return phone;
}

const study = (index: number) => studies[index] ?? '';

test.each(['\u202eoelC', 'Cleo\u0000', '\u3164', '\u2800', '...'])(
  'an alias of signs that can’t be seen is refused: %j',
  async (alias) => {
    const desk = await serve();
    const { joinCode } = await desk.openSession(study(0));
    const answer = await house.phone('x').join(joinCode, { alias });
    expect([answer.status, ...answer.page.problems()]).toEqual([
      400,
      'Your alias must have a letter or digit, and no signs that can’t be seen.',
    ]);
    expect((await desk.look(study(0))).arrivals).toEqual([]);
  },
);

test.each(['C\u200bleo', 'Cleo\ufe0f', 'cle\u00ado'])(
  'signs that can’t be seen make no other alias: %j',
  async (alias) => {
    const desk = await serve();
    const { joinCode } = await desk.openSession(study(0));
    await arrive(joinCode, 'Cleo');
    expect((await house.phone('x').join(joinCode, { alias })).status).toBe(409);
  },
);

test('whoever opened the sheet is barred however the name is dressed up', async () => {
  const desk = await serve();
  await desk.openSheet(study(0), passphrase);
  const op = house.desk('Op');
  await op.acceptInvitation(await desk.invite(), { name: 'Op', password: 'yet another password' });
  const { joinCode } = await op.openSession(study(0));
  expect((await house.phone('x').join(joinCode, { alias: 'A\u200bda' })).status).toBe(403);
});

test('words that no text can hold are refused for good, and block nothing', async () => {
  const desk = await serve();
  const { joinCode } = await desk.openSession(study(0));
  const phone = await arrive(joinCode, 'Cleo');
  await handleAll(desk, study(0));
  await phone.connect();
  await phone.act({ kind: 'fits', presentation: 1 });
  const reply = await phone.act({ kind: 'words', words: [{ code: '123', text: 'thin \ud83d' }] });
  expect(reply).toMatchObject({ ok: false, error: { code: 'bad-input' } });
});

describe('a listener in two studies at once', () => {
  test('answers kept on the phone go to the sitting that they belong to', async () => {
    const desk = await serve();
    const first = await desk.openSession(study(0));
    const phone = await arrive(first.joinCode, 'Cleo');
    await handleAll(desk, study(0));
    await phone.connect();
    const kept = phone.whole({ kind: 'fits', presentation: 1 });
    const second = await desk.openSession(study(1));
    house.wait(0.1);
    await phone.join(second.joinCode, {});
    expect(await phone.emit(kept)).toMatchObject({ ok: true });
  });

  test('whoever walked into another study by mistake comes back to the sitting under way', async () => {
    const desk = await serve();
    const first = await desk.openSession(study(0));
    const phone = await arrive(first.joinCode, 'Cleo');
    await handleAll(desk, study(0));
    const second = await desk.openSession(study(1));
    house.wait(0.1);
    await phone.join(second.joinCode, {});
    await desk.closeSession(study(1));
    await phone.reload();
    expect(phone.place?.kind).toBe('fitting');
  });
});

test('a listener’s link opens nothing of another sitting, be it of this study or of another', async () => {
  const desk = await serve();
  const first = await desk.openSession(study(0));
  const cleo = await arrive(first.joinCode, 'Cleo');
  await handleAll(desk, study(0));
  const second = await desk.openSession(study(1));
  const dov = await arrive(second.joinCode, 'Dov');
  await handleAll(desk, study(1));
  for (const phone of [cleo, dov]) await phone.connect();
  const of = ({ place }: PhoneBrowser) => ({ trial: place?.trial ?? '', code: place?.code ?? '' });
  const [own, other] = [of(cleo), of(dov)];
  expect(own.trial).not.toBe(other.trial);

  const before = dump(house.folder);
  const acts = [
    cleo.whole({ kind: 'fits', presentation: 1 }, other.trial),
    cleo.whole({ kind: 'answer', answer: other.code }, other.trial),
    cleo.whole({ kind: 'words', words: [{ code: other.code, text: 'Which one is it?' }] }, other.trial),
  ];
  for (const act of acts) {
    const replies = [await cleo.emit(act), (await cleo.postAct(act)).reply];
    for (const reply of replies) {
      expect(reply).toMatchObject({ ok: false, error: { code: 'not-found', path: 'trial' } });
      // It gets its own place, and nothing of the other's.
      expect(JSON.stringify(reply)).toContain(own.trial);
      expect(JSON.stringify(reply)).not.toContain(other.trial);
    }
  }
  // The desk of one study can't reach what belongs to the other.
  const sitting = (await desk.look(study(1))).seats[0]?.out?.fields.sitting ?? '';
  const csrf = (await desk.open(`${study(0)}/run`)).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
  const forms: [string, Record<string, string>][] = [
    ['take-back', { sitting, code: other.code }],
    ['hand-over', { sitting, give: other.code }],
    ['seat-out', { sitting }],
    ['void', { trial: other.trial, reason: 'other' }],
  ];
  for (const [command, fields] of forms) {
    const answer = await desk.post(`${study(0)}/run/${command}`, { _csrf: csrf, ...fields }, 'json');
    expect([command, answer.status]).toEqual([command, 404]);
  }
  expect(dump(house.folder)).toEqual(before);
});

test('a clock that was set back between two sessions locks nobody out', async () => {
  const desk = await serve();
  const first = await desk.openSession(study(0));
  const phone = await arrive(first.joinCode, 'Cleo');
  await desk.closeSession(study(0));
  house.wait(-48);
  const second = await desk.openSession(study(0));
  await phone.join(second.joinCode, {});
  await phone.checkIn();
  await phone.consent();
  await phone.reload();
  expect(phone.place?.kind).toBe('unseated');
});

describe('without script', () => {
  test('a sample that was taken back and given again fits again', async () => {
    const desk = await serve();
    const { joinCode } = await desk.openSession(study(0));
    const phone = await arrive(joinCode, 'Cleo');
    await handleAll(desk, study(0));
    const fits = async () => {
      const { page } = await phone.open('/listen');
      const form = page.all('form').map((one) => one).length;
      expect(form).toBeGreaterThan(0);
      return phone.send(page.form('form:has(input[value="fits"])'));
    };
    expect((await fits()).status).toBe(200);
    house.wait(0.01);
    const out = (await desk.look(study(0))).seats[0]?.out;
    if (out) await desk.act(out);
    await handleAll(desk, study(0));
    const again = (await desk.look(study(0))).seats[0]?.again;
    if (again) await desk.act(again);
    await handleAll(desk, study(0));
    expect((await fits()).status).toBe(200);
    await phone.reload();
    expect(phone.place?.kind).toBe('listening');
  });

  test('a form that is sent twice is one act', async () => {
    const desk = await serve();
    const { joinCode } = await desk.openSession(study(0));
    const phone = await arrive(joinCode, 'Cleo');
    await handleAll(desk, study(0));
    const { page } = await phone.open('/listen');
    const form = page.form('form:has(input[value="fits"])');
    expect((await phone.send(form)).status).toBe(200);
    house.wait(0.001);
    expect((await phone.send(form)).status).toBe(200);
  });
});
