import { readdirSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { goodCodes } from '../../server/blinding/codes';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { Store } from '../../server/store/open';
import type { Db } from '../../server/store/tables';
import {
  ada,
  bo,
  copyOf,
  type House,
  handleAll,
  ledgerIn,
  newFolder,
  openHouse,
  passphrase,
  removeFolders,
  smallPlan,
} from '../support/driver';

/** A day on which everything runs out or goes missing. */

let fitting: string;
let study: string;
const cookies: Record<string, Record<string, string>> = {};

const keep = (name: string, { cookies: jar }: DeskBrowser | PhoneBrowser) => {
  cookies[name] = Object.fromEntries(
    ['fh_visit', 'fh_staff', 'fh_listener'].flatMap((one) => {
      const value = jar.get(one);
      return value ? [[one, value]] : [];
    }),
  );
};

/** As many listeners as three digits allow, so that few codes are left over. */
const listeners = Math.floor((goodCodes.length - 75) / 4);

beforeAll(async () => {
  fitting = newFolder();
  const house = await openHouse(fitting);
  const desk = house.desk('Ada');
  await desk.makeFirstAccount(house.firstCode, ada);
  study = await desk.plan({ ...smallPlan, audiences: [{ name: 'Listeners', listeners }] });
  await desk.lock(study, passphrase);
  const preparer = house.desk('Bo');
  await preparer.acceptInvitation(await desk.invite(), bo);
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Cleo');
  await phone.join(joinCode, { alias: 'Cleo' });
  await phone.checkIn();
  await phone.consent();
  await handleAll(desk, study);
  keep('Ada', desk);
  keep('Bo', preparer);
  keep('Cleo', phone);
  await house.close();
});
afterAll(removeFolders);

let house: House;
let phone: PhoneBrowser;
afterEach(async () => {
  phone?.hangUp();
  await house.close();
});

const withCookies = <B extends DeskBrowser | PhoneBrowser>(browser: B, name: string): B => {
  for (const [key, value] of Object.entries(cookies[name] ?? {})) browser.cookies.set(key, value);
  return browser;
};

async function serve(folder = copyOf(fitting), store?: (store: Store) => Store): Promise<DeskBrowser> {
  house = await openHouse(folder, store ? { store } : {});
  phone = withCookies(house.phone('Cleo'), 'Cleo');
  return withCookies(house.desk('Ada'), 'Ada');
}

/** Takes the trial under way to its answer and through its words. */
async function answerTrial(desk: DeskBrowser): Promise<void> {
  for (const presentation of [1, 2]) {
    await handleAll(desk, study);
    await phone.where();
    await phone.act({ kind: 'fits', presentation });
    await phone.act({ kind: 'heard', presentation });
  }
  await phone.act({ kind: 'answer', answer: phone.codesOf(phone.place?.trial ?? '')[0] ?? '' });
}

describe('without the working key', () => {
  const lose = (folder: string) => {
    for (const file of readdirSync(join(folder, 'keys'))) rmSync(join(folder, 'keys', file));
  };

  test('the desk says what is missing and what to do; nothing is lost; the passphrase puts it back', async () => {
    const folder = copyOf(fitting);
    const desk = await serve(folder);
    await phone.connect();
    lose(folder);
    await phone.act({ kind: 'fits', presentation: 1 });
    expect(phone.place?.kind).toBe('listening');
    await phone.act({ kind: 'heard', presentation: 1 });
    expect(phone.place?.kind).toBe('waiting');

    const missing = await desk.open(`${study}/run`);
    expect(missing.status).toBe(503);
    expect(missing.page.text('main')).toContain('The working key of this study is missing');
    expect(missing.page.text('main')).toContain('passphrase');

    const wrong = withCookies(house.desk('Bo'), 'Bo');
    await expect(wrong.openSheet(study, 'not the passphrase')).rejects.toThrow();
    expect(readdirSync(join(folder, 'keys'))).toEqual([]);
    const preparer = withCookies(house.desk('Bo'), 'Bo');
    expect((await preparer.openSheet(study, passphrase)).length).toBeGreaterThan(0);
    await handleAll(desk, study);
    await phone.where();
    expect(phone.place?.kind).toBe('fitting');
  });

  test('an answer that needs it stays on the phone and is taken later', async () => {
    const folder = copyOf(fitting);
    const desk = await serve(folder);
    await phone.connect();
    await answerTrial(desk);
    await phone.act({ kind: 'words', words: [] });
    await answerTrial(desk);
    renameSync(join(folder, 'keys'), join(folder, 'elsewhere'));
    const last = phone.whole({ kind: 'words', words: [] });
    expect(await phone.emit(last)).toMatchObject({ ok: false, error: { code: 'unavailable' } });
    rmSync(join(folder, 'keys'), { recursive: true });
    renameSync(join(folder, 'elsewhere'), join(folder, 'keys'));
    expect(await phone.emit(last)).toMatchObject({ ok: true });
    expect(phone.place?.kind).toBe('finished');
  });
});

test('with no codes left a mix-up is still void, the last answer is taken, and the study goes on to its end', async () => {
  const desk = await serve();
  await phone.connect();
  await answerTrial(desk);
  await phone.act({ kind: 'words', words: [] });
  for (let spoilt = 0; spoilt < 45; spoilt++) {
    await handleAll(desk, study);
    const seat = (await desk.look(study)).seats[0];
    if (!seat?.void || seat.now === 'done') break;
    await desk.act(seat.void, { reason: 'wrong-sample' });
  }
  const [seat] = (await desk.look(study)).seats;
  expect(seat?.now).toBe('done');
  const kinds = ledgerIn(house.folder).map(({ kind }) => kind);
  const voided = kinds.filter((kind) => kind === 'trial-voided').length;
  expect(voided).toBe(kinds.filter((kind) => kind === 'trial-added').length + 1);
  expect(kinds.filter((kind) => kind === 'no-codes-left')).toHaveLength(1);
  expect(kinds.at(-1)).not.toBe('trial-voided');
  await phone.where();
  expect(phone.place?.kind).toBe('finished');
  await desk.closeSession(study);
  await desk.close(study);
  expect((await desk.unseal(study, passphrase)).status).toBe(200);
});

test('a read that fails under a socket takes nobody else with it', async () => {
  let broken = false;
  const desk = await serve(copyOf(fitting), (store) => ({
    ...store,
    db: new Proxy(store.db, {
      get(db, name) {
        if (broken && name === 'selectFrom') throw new Error('The disk is gone.');
        const value: unknown = Reflect.get(db, name);
        return typeof value === 'function' ? value.bind(db) : value;
      },
    }) as Db,
  }));
  await phone.connect();
  await desk.connect(study);
  broken = true;
  phone.shout('where');
  phone.shout('act', {});
  const late = withCookies(house.phone('Cleo'), 'Cleo');
  const lateDesk = withCookies(house.desk('Ada'), 'Ada');
  await expect(lateDesk.connect(study)).rejects.toThrow();
  lateDesk.hangUp();
  broken = false;
  await late.reload();
  expect(late.place?.kind).toBe('fitting');
  await phone.where();
  expect(phone.place?.kind).toBe('fitting');
  desk.hangUp();
});

test('between two trials the desk says which of them a mix-up would be noted for', async () => {
  const desk = await serve();
  await phone.connect();
  const practice = phone.place?.trial ?? '';
  const said = async () =>
    (await desk.open(`${study}/run/part`)).page.text('form[id^="void-"] legend').replace(/\u2009/g, '');
  expect(await said()).toBe(`Void the trial with ${phone.place?.code}`);
  await answerTrial(desk);
  await phone.act({ kind: 'words', words: [] });
  expect(phone.place?.kind).toBe('waiting');
  expect(await said()).toBe(`Void the trial with ${phone.codesOf(practice).join(' and ')}`);
});
