import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, expect, test } from 'vitest';
import { DeskBrowser } from '../../server/demo/desk-browser';
import { PhoneBrowser } from '../../server/demo/phone-browser';
import type { ActReply } from '../../shared/wire';
import { killServers, startServer } from '../flows/served';
import { ada, copyOf, newFolder, removeFolders } from '../support/driver';
import { keptHouse, restored, run, wholeLedger } from './kept-house';

/** `backup` and `restore` from another process than the server's, while it writes. */

afterAll(async () => {
  await killServers();
  removeFolders();
});

test('beside a server that answers and writes all the while: what was acknowledged is there or kept, and it goes on', async () => {
  const { folder, phoneCookies, study, joinCode, id } = await keptHouse();
  const data = copyOf(folder);
  const server = await startServer(data);
  const phone = new PhoneBrowser(server.origin, { name: 'One' });
  for (const [name, value] of phoneCookies) phone.cookies.set(name, value);
  await phone.connect();
  const acknowledged: string[] = [];
  const refused: unknown[] = [];
  let stop = false;
  const writer = async (send: (act: unknown) => Promise<ActReply>) => {
    while (!stop) {
      const act = phone.whole({ kind: 'refit', presentation: 1 });
      const reply = await send(act);
      if (reply.ok) acknowledged.push(act.id);
      else refused.push(reply);
    }
  };
  const writers = [
    writer((act) => phone.emit(act)),
    writer((act) => phone.emit(act)),
    writer(async (act) => (await phone.postAct(act)).reply),
  ];
  const more = async (n: number) => {
    const until = acknowledged.length + n;
    while (acknowledged.length < until) await new Promise((resolve) => setTimeout(resolve, 5));
    return acknowledged.length;
  };
  await more(20);
  const now = join(newFolder(), 'now.backup');
  expect(await run('backup', now, '--data', data)).toMatchObject({ code: 0, stderr: '' });
  await more(20);
  const before = acknowledged.length;
  const done = await restored(now, data);
  const during = acknowledged.length;
  await more(20);
  stop = true;
  await Promise.all(writers);
  phone.hangUp();

  // Whoever writes meanwhile waits, and is not sent away.
  expect(refused).toEqual([]);
  // The same server goes on with what came back: staff, desk, a new listener.
  const desk = new DeskBrowser(server.origin, { name: 'Ada' });
  await desk.signIn(ada);
  await desk.look(study);
  const other = new PhoneBrowser(server.origin, { name: 'Two' });
  expect((await other.join(joinCode, { alias: 'Two' })).status).toBe(200);
  await server.kill();
  const acts = (database: string): string[] => {
    const db = new Database(database);
    try {
      expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
      return db.prepare('SELECT id FROM act').pluck().all() as string[];
    } finally {
      db.close();
    }
  };
  const [kept, live] = [acts(done.kept as string), acts(join(data, 'fair-hearing.sqlite'))];
  const there = new Set([...kept, ...live]);
  expect(acknowledged.filter((act) => !there.has(act))).toEqual([]);
  // All of it up to the restore is kept, and all after it is here.
  expect(acknowledged.slice(0, before).filter((act) => !kept.includes(act))).toEqual([]);
  expect(acknowledged.slice(during + writers.length).filter((act) => !live.includes(act))).toEqual([]);
  expect(kept.length).toBeGreaterThan(acts(now).length);
  // A phone takes no place that is older than the one it shows.
  const versionIn = (database: string) => {
    const db = new Database(database, { readonly: true });
    const version = db.prepare('SELECT version FROM sitting').pluck().get() as number;
    db.close();
    return version;
  };
  expect(versionIn(done.kept as string)).toBeGreaterThan(versionIn(now));
  expect(versionIn(join(data, 'fair-hearing.sqlite'))).toBeGreaterThan(versionIn(done.kept as string));
  const ledger = await wholeLedger(data, id);
  const place = ledger.findIndex(({ kind }) => kind === 'restored');
  expect(ledger[place]?.body).toMatchObject({ seq: place, replaced: { unsealed: false } });
  expect(ledger.slice(place + 1).some(({ kind }) => kind === 'joined')).toBe(true);
});
