import { join } from 'node:path';
import Database from 'better-sqlite3';
import { sql } from 'kysely';
import { afterAll, beforeAll, beforeEach, expect, onTestFinished, test } from 'vitest';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import { openStore, type Store } from '../../server/store/open';
import type { Db } from '../../server/store/tables';
import type { ActReply } from '../../shared/wire';
import {
  ada,
  bo,
  copyOf,
  dump,
  type House,
  handleAll,
  newFolder,
  openHouse,
  passphrase,
  removeFolders,
  smallPlan,
} from '../support/driver';

/** A study with one listener at the seat and the first sample handed over. */
let fitting: string;
/** Of the phone that the sitting goes on in: whose it is, and which browser. */
let phoneCookies: [name: string, value: string][];
let deskCookies: [name: string, value: string][];
let study: string;

beforeAll(async () => {
  fitting = newFolder();
  const house = await openHouse(fitting);
  const desk = house.desk('Ada');
  await desk.makeFirstAccount(house.firstCode, ada);
  study = await desk.plan(smallPlan);
  await desk.lock(study, passphrase);
  const preparer = house.staff('Bo');
  await preparer.acceptInvitation(await desk.invite(), bo);
  await preparer.openSheet(study, passphrase);
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Cleo');
  await phone.join(joinCode, { alias: 'Cleo' });
  await phone.checkIn();
  await phone.consent();
  await handleAll(desk, study);
  deskCookies = ['fh_staff', 'fh_visit'].map((name) => [name, desk.cookies.get(name) ?? '']);
  phoneCookies = ['fh_listener', 'fh_visit'].map((name) => [name, phone.cookies.get(name) ?? '']);
  await house.close();
});
afterAll(removeFolders);

/** What the next writes do to the transaction that they are in. */
let spoil: ((tx: Db) => Promise<void>) | null = null;
let commits = 0;
let folder: string;
let house: House;
let phone: PhoneBrowser;

beforeEach(async () => {
  folder = copyOf(fitting);
  spoil = null;
  commits = 0;
  house = await openHouse(folder, { store: watched });
  phone = house.phone('Cleo');
  for (const [name, value] of phoneCookies) phone.cookies.set(name, value);
  await phone.connect();
  onTestFinished(async () => {
    phone.hangUp();
    await house.close();
  });
});

/** The real store; its transactions are counted, and on demand made such that SQLite refuses to commit them. */
function watched(store: Store): Store {
  const begin = store.db.transaction.bind(store.db);
  store.db.transaction = () => {
    commits++;
    return begin();
  };
  return {
    ...store,
    write: (work) =>
      store.write(async (tx) => {
        const done = await work(tx);
        await spoil?.(tx);
        return done;
      }),
  };
}

/** A foreign key that leads nowhere, checked by SQLite at the commit and not before. */
async function uncommittable(tx: Db): Promise<void> {
  await sql`PRAGMA defer_foreign_keys = ON`.execute(tx);
  await sql`INSERT INTO listener_token (hash, listener_id, created_at) VALUES ('x', 'nobody', '2026')`.execute(tx);
}

test('PRAGMA synchronous is FULL, the journal a write-ahead log, and foreign keys hold, after reopening as before', async () => {
  const data = newFolder();
  for (let opened = 1; opened <= 3; opened++) {
    const store = await openStore(data);
    expect(['synchronous', 'journal_mode', 'foreign_keys'].map(store.pragma)).toEqual([2, 'wal', 1]);
    await store.close();
  }
});

test('what can’t be committed is not acknowledged, changes nothing, and is taken when it is sent again', async () => {
  const act = phone.whole({ kind: 'fits', presentation: 1 });
  const before = dump(folder);
  spoil = uncommittable;
  for (const send of [() => phone.emit(act), async () => (await phone.postAct(act)).reply]) {
    expect(await send()).toMatchObject({ ok: false, error: { code: 'unavailable' } });
    expect(phone.place?.kind).toBe('fitting');
    expect(dump(folder)).toEqual(before);
  }
  spoil = null;
  expect(await phone.emit(act)).toMatchObject({ ok: true });
  expect(phone.place?.kind).toBe('listening');
  expect(dump(folder).act).toHaveLength(1);
});

test('an answer that comes after closing is kept apart under the same promise', async () => {
  const desk = house.desk('Ada');
  for (const [name, value] of deskCookies) desk.cookies.set(name, value);
  const answer = phone.whole({ kind: 'answer', answer: phone.place?.code ?? '' });
  await desk.closeSession(study);
  const before = dump(folder);
  spoil = uncommittable;
  expect(await phone.emit(answer)).toMatchObject({ ok: false, error: { code: 'unavailable' } });
  expect(dump(folder)).toEqual(before);
  spoil = null;
  const other = new Database(join(folder, 'fair-hearing.sqlite'), { readonly: true });
  expect(await phone.emit(answer)).toMatchObject({ ok: true, apart: true });
  expect(other.prepare('SELECT count(*) AS n FROM quarantine WHERE id = ?').get(answer.id)).toEqual({ n: 1 });
  other.close();
});

test('a form whose commit fails is answered as a fault of the server, and nobody else is told of a change', async () => {
  const before = dump(folder);
  const onlooker = house.phone('Cleo too');
  for (const [name, value] of phoneCookies) onlooker.cookies.set(name, value);
  await onlooker.connect();
  onTestFinished(() => onlooker.hangUp());
  const version = onlooker.place?.version;
  spoil = uncommittable;
  const page = await phone.open('/listen');
  const answer = await phone.send(page.page.form('form[action="/listen/stop"]'));
  expect(answer.status).toBe(500);
  expect(answer.body).not.toMatch(/sqlite|foreign|constraint/i);
  spoil = null;
  expect(dump(folder)).toEqual(before);
  expect((await onlooker.where())?.version).toBe(version);
});

test('many acts at once share commits, and each is on disk when it is acknowledged', async () => {
  const other = new Database(join(folder, 'fair-hearing.sqlite'), { readonly: true });
  const onDisk = other.prepare('SELECT count(*) AS n FROM act WHERE id = ?');
  commits = 0;
  const acts = Array.from({ length: 40 }, () => phone.whole({ kind: 'refit', presentation: 1 }));
  const replies = await Promise.all(
    acts.map(async (act): Promise<[ActReply, unknown]> => [await phone.emit(act), onDisk.get(act.id)]),
  );
  other.close();
  for (const [reply, seen] of replies) {
    expect(reply.ok).toBe(true);
    expect(seen).toEqual({ n: 1 });
  }
  expect(dump(folder).act).toHaveLength(40);
  expect((dump(folder).trial as { retries: number }[])[0]?.retries).toBe(40);
  expect(commits).toBeGreaterThan(0);
  expect(commits).toBeLessThanOrEqual(20);
});

test('one that is refused takes none of those with it that share its commit', async () => {
  const good = Array.from({ length: 10 }, () => phone.whole({ kind: 'refit', presentation: 1 }));
  const bad = Array.from({ length: 10 }, () => phone.whole({ kind: 'heard', presentation: 1 }));
  const replies = await Promise.all(good.flatMap((act, i) => [phone.emit(act), phone.emit(bad[i])]));
  expect(replies.map(({ ok }) => ok)).toEqual(good.flatMap(() => [true, false]));
  expect((dump(folder).act as { id: string }[]).map(({ id }) => id).sort()).toEqual(good.map(({ id }) => id).sort());
});
