import { type ChildProcessWithoutNullStreams, spawn } from 'node:child_process';
import { once } from 'node:events';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readHeads, writeHeads } from '../../server/blinding/heads';
import { findingsOf } from '../../server/review/findings';
import type { StudyId } from '../../shared/brands';
import type { StudyRecord } from '../../shared/record';
import { failing, checked as looked } from '../support/changed-bytes';
import {
  ada,
  copyOf,
  dump,
  type Ledgered,
  ledgerIn,
  newFolder,
  openHouse,
  passphrase,
  removeFolders,
  smallPlan,
} from '../support/driver';
import { type KeptHouse, keptHouse, restored, run, type Said, wholeLedger } from './kept-house';

/** `backup` and `restore` without a server, and what a server says at start of an older copy; see `beside-server.test.ts`. */

const refusal = ({ stderr }: Said) => (JSON.parse(stderr) as { error: { code: string; path: string } }).error;

let folder: string;
let file: string;
let study: string;
let id: StudyId;
let written: KeptHouse['written'];
beforeAll(async () => {
  ({ folder, file, study, id, written } = await keptHouse());
});
afterAll(removeFolders);

const headIn = (data: string) => wholeLedger(data, id);

test('a backup is one file of this account, taken while a server runs, and says how far every ledger is', () => {
  expect(readdirSync(join(file, '..'))).toEqual(['first.backup']);
  if (process.platform !== 'win32') expect(statSync(file).mode & 0o777).toBe(0o600);
  // Without a log beside it: versions 1 and not 2 in its header (SQLite, Database File Format, 1.3.3).
  expect([...readFileSync(file).subarray(18, 20)]).toEqual([1, 1]);
  expect(written.bytes).toBe(statSync(file).size);
  expect(written.sha256).toMatch(/^[0-9a-f]{64}$/);
  expect(written.studies.map((one) => [one.id === id, one.state])).toEqual([
    [true, 'locked'],
    [false, 'draft'],
  ]);
  const ledger = ledgerIn(folder).filter((entry) => entry.study_id === id);
  const [first] = written.studies;
  expect(ledger[(first?.entries ?? 0) - 1]).toMatchObject({ hash: first?.head });
  expect(ledger.length).toBeGreaterThan(first?.entries ?? 0);
});

test('no key is in a backup, in whatever writing: whoever finds it needs the passphrase', () => {
  const bytes = readFileSync(file);
  const keys = readdirSync(join(folder, 'keys'));
  expect(keys.sort()).toEqual([`${id}.key`, 'signing.key'].sort());
  const held = (content: Buffer) =>
    keys.some((name) => {
      const key = readFileSync(join(folder, 'keys', name));
      return [
        key,
        ...(['hex', 'base64', 'base64url'] as const).map((writing) => Buffer.from(key.toString(writing))),
      ].some((one) => content.includes(one));
    });
  expect(held(bytes)).toBe(false);
  const planted = readFileSync(join(folder, 'keys', `${id}.key`)).toString('base64');
  expect(held(Buffer.concat([bytes, Buffer.from(planted)])), 'a planted key').toBe(true);
});

test('back into the folder it came from: what was there is kept, and the ledger says what it replaced', async () => {
  const data = copyOf(folder);
  const before = await headIn(data);
  const done = await restored(file, data);
  expect(done.gone).toEqual([]);
  expect(done.studies.map(({ state, keyThere }) => [state, keyThere])).toEqual([
    ['locked', true],
    ['draft', false],
  ]);
  const after = await headIn(data);
  const last = before.at(-1);
  expect(after.slice(0, -1)).toEqual(before.slice(0, after.length - 1));
  expect(after.at(-1)).toMatchObject({
    kind: 'restored',
    actor: 'server',
    body: {
      madeAt: expect.stringMatching(/^2\d{3}-/) as string,
      seq: after.length - 1,
      hash: before[after.length - 2]?.hash,
      replaced: { seq: last?.seq, hash: last?.hash, unsealed: false },
    },
  });
  expect(dump(data).session).toEqual([]);
  // Signed as the other steps are.
  expect((dump(data).signature as { seq: number }[]).at(-1)).toMatchObject({
    seq: after.length,
    hash: after.at(-1)?.hash,
  });
  // What was there is whole, and can be brought back in its turn.
  expect(done.kept).toMatch(/fair-hearing\.before-restore-\d{8}T\d{6}Z\.sqlite$/);
  if (process.platform !== 'win32') expect(statSync(done.kept as string).mode & 0o777).toBe(0o600);
  expect(readdirSync(data).filter((name) => /restoring|\.new|\.part/.test(name))).toEqual([]);
  const again = await restored(done.kept as string, data);
  // When it was made stands in it, as in a backup.
  expect(again.madeAt).toMatch(/^2\d{3}-/);
  expect(again.madeAt).not.toBe(done.madeAt);
  expect(again.studies[0]?.replaced).toMatchObject({ seq: after.length, hash: after.at(-1)?.hash });
  expect((await headIn(data)).slice(0, -1)).toEqual(before);
  // Pages that are open take what came back for newer than what they show.
  const versions = () =>
    ['study', 'sitting'].map((table) => (dump(data)[table] as { version: number }[])[0]?.version ?? 0);
  const [now, shown] = [join(newFolder(), 'now.backup'), versions()];
  expect((await run('backup', now, '--data', data)).code).toBe(0);
  await restored(now, data);
  versions().forEach((version, i) => void expect(version).toBeGreaterThan(shown[i] as number));
  // The ledger still refuses to lose a row.
  const database = new Database(join(data, 'fair-hearing.sqlite'));
  expect(() => database.exec('DELETE FROM ledger')).toThrow(/append-only/);
  expect(() => database.exec('UPDATE signature SET seq = 1')).toThrow(/append-only/);
  database.close();
});

test('into an empty folder: the study goes on after the passphrase', async () => {
  const data = join(newFolder(), 'new');
  const done = await restored(file, data);
  expect(done).toMatchObject({ kept: null, gone: [] });
  expect(done.studies[0]).toMatchObject({ replaced: null, keyThere: false });
  expect(readdirSync(data).filter((name) => name.endsWith('.sqlite'))).toEqual(['fair-hearing.sqlite']);
  const house = await openHouse(data);
  try {
    const desk = house.desk('Ada');
    await desk.signIn(ada);
    await desk.openSheet(study, passphrase);
    expect(await desk.openSession(study)).toMatchObject({ joinCode: expect.any(String) as string });
    expect(ledgerIn(data).filter(({ kind }) => kind === 'older-copy')).toEqual([]);
  } finally {
    await house.close();
  }
});

/** Downloads the record of the study and checks it; answers with the lines about what is not as it was. */
async function checked(data: string): Promise<{ code: number; copies: string[]; record: StudyRecord }> {
  const house = await openHouse(data);
  const desk = house.desk('Ada');
  await desk.signIn(ada);
  const text = await desk.download(study, 'record.json');
  await house.close();
  const at = join(newFolder(), 'record.json');
  writeFileSync(at, text);
  const { code, stdout } = await run('check', at, '--json');
  const { lines } = JSON.parse(stdout) as { lines: { what: string; detail: string }[] };
  const copies = lines.flatMap(({ what, detail }) => (what === 'Older copy' ? [detail] : []));
  return { code, copies, record: JSON.parse(text) as StudyRecord };
}

test('a study that was closed meanwhile keeps no working key, its record holds, and what became of the key is said', async () => {
  const data = copyOf(folder);
  const house = await openHouse(data);
  const desk = house.desk('Ada');
  await desk.signIn(ada);
  await desk.closeSession(study);
  // Remembered step by step, and not only at the end.
  const length = () => ledgerIn(data).filter((entry) => entry.study_id === id).length;
  expect(readHeads(data)[id]).toMatchObject({ seq: length(), unsealed: false });
  await desk.close(study);
  await desk.unseal(study, passphrase);
  expect(readHeads(data)[id]).toMatchObject({ seq: length(), unsealed: true });
  const decision = {
    decision: 'refuse',
    meaning: 'reviewed',
    reason: 'Nobody answered.',
    password: ada.password,
  } as const;
  expect((await desk.decide(study, { ...decision, alone: 'Nobody else is here.' })).status).toBe(200);
  await house.close();
  const later = join(newFolder(), 'later.backup');
  expect((await run('backup', later, '--data', data)).code).toBe(0);

  // What was decided stands, on a machine with another key as well.
  const elsewhere = join(newFolder(), 'elsewhere');
  expect((await restored(later, elsewhere)).studies[0]).toMatchObject({ state: 'refused' });
  expect(await checked(elsewhere)).toMatchObject({
    code: 0,
    copies: [expect.stringMatching(/^A backup of .* Whether something was recorded/) as string],
  });
  const here = copyOf(folder);
  expect(existsSync(join(here, 'keys', `${id}.key`))).toBe(true);
  await restored(later, here);
  expect(existsSync(join(here, 'keys', `${id}.key`))).toBe(false);

  // Back to before the key was opened: nobody can make that unseen.
  const done = await restored(file, data);
  expect(done.studies[0]).toMatchObject({ state: 'locked', keyThere: false, replaced: { unsealed: true } });
  expect(readHeads(data)[id]).toMatchObject({ seq: done.studies[0]?.entries, unsealed: true });
  const again = await openHouse(data);
  const ada2 = again.desk('Ada');
  await ada2.signIn(ada);
  await ada2.openSheet(study, passphrase);
  await ada2.openSession(study);
  await ada2.closeSession(study);
  await ada2.close(study);
  await ada2.unseal(study, passphrase);
  await again.close();
  const { code, copies, record } = await checked(data);
  expect({ code, copies }).toMatchObject({
    code: 0,
    copies: [expect.stringMatching(/are not in this record\. By then the key had been opened/) as string],
  });
  expect(findingsOf(record).blind.notes).toContain(copies[0]);
});

test('people are told what came back, what is kept, what is gone, and what is to be done', async () => {
  const data = copyOf(folder);
  const house = await openHouse(data);
  const desk = house.desk('Ada');
  await desk.signIn(ada);
  const third = await desk.plan({ ...smallPlan, title: 'Made after the backup' });
  await house.close();
  const here = await run('restore', file, '--data', data);
  expect(here).toMatchObject({ code: 0, stderr: '' });
  expect(here.stdout).toContain(`Brought back: ${file}, with 2 studies.`);
  expect(here.stdout).toContain(`SHA-256: ${written.sha256}`);
  expect(here.stdout).toMatch(/What was there before is kept in .*before-restore/);
  expect(here.stdout).toContain(`gone from here: 1 study (${third.split('/').at(-1)})`);
  expect(here.stdout).not.toContain('passphrase');
  const elsewhere = await run('restore', file, '--data', join(newFolder(), 'new'));
  expect(elsewhere.stdout).toContain('The working key of 1 study is not here: type the passphrase under Prepare');
  expect(elsewhere.stdout).not.toMatch(/kept in|gone/);
  const copy = await run('backup', join(newFolder(), 'copy'), '--data', data);
  expect(copy.stdout).toMatch(/with 2 studies\. Every ledger holds\.\nSHA-256: [0-9a-f]{64}\nIt holds no working keys/);
});

test('a draft that had been locked since says so, and whoever locks it anew can’t hide that', async () => {
  const house = await openHouse();
  const desk = house.desk('Ada');
  await desk.makeFirstAccount(house.firstCode, ada);
  const study = await desk.plan({ ...smallPlan, handling: 'solo' });
  const draft = join(newFolder(), 'draft');
  expect(await run('backup', draft, '--data', house.folder)).toMatchObject({ code: 0 });
  expect((await restored(draft, house.folder)).studies[0]).toMatchObject({ entries: 1, replaced: null });
  await desk.lock(study, passphrase);
  const head = readHeads(house.folder)[study.split('/').at(-1) ?? ''];
  await restored(draft, house.folder);
  await desk.lock(study, passphrase);
  const ledger = ledgerIn(house.folder);
  expect(ledger.map(({ kind }) => kind)).toEqual(['study-created', 'restored', 'plan-locked', 'level-deviation']);
  expect(ledger[1]?.body).toMatchObject({ seq: 1, replaced: head });
  const { joinCode } = await desk.openSession(study);
  expect(joinCode).not.toBe('');
  await desk.close(study);
  await desk.unseal(study, passphrase);
  expect(failing(looked(await desk.download(study, 'record.json')))).toEqual([]);
  await house.close();
});

test('data that are damaged are moved aside, and what is remembered of them stands in the ledger', async () => {
  const data = copyOf(folder);
  const remembered = readHeads(data)[id];
  expect(remembered).toBeDefined();
  for (const name of readdirSync(data)) if (/sqlite-/.test(name)) rmSync(join(data, name));
  writeFileSync(join(data, 'fair-hearing.sqlite'), 'not a database any more'.repeat(100));
  const done = await restored(file, data);
  expect(readFileSync(done.kept as string, 'utf8')).toContain('not a database any more');
  expect(done.studies[0]?.replaced).toEqual(remembered);
  expect((await headIn(data)).at(-1)?.body).toMatchObject({ replaced: remembered });
});

/** Starts a server on a folder and ends it as it should; answers with its log and what the ledger ends with. */
async function startOnce(data: string): Promise<{ log: string; kinds: string[]; last: Ledgered | undefined }> {
  const house = await openHouse(data);
  await house.close();
  const ledger = ledgerIn(data).filter((entry) => entry.study_id === id);
  return { log: house.log.join('\n'), kinds: ledger.map(({ kind }) => kind), last: ledger.at(-1) };
}

/** Puts the first backup in the place of the database, past the tool. */
function byHand(data: string): void {
  for (const name of readdirSync(data)) if (/sqlite-/.test(name)) rmSync(join(data, name));
  copyFileSync(file, join(data, 'fair-hearing.sqlite'));
}

test('an older copy that was put back by hand shows in the ledger at the next start, once', async () => {
  const data = copyOf(folder);
  const remembered = readHeads(data)[id];
  if (process.platform !== 'win32') expect(statSync(join(data, 'heads.json')).mode & 0o777).toBe(0o600);
  expect(remembered?.seq).toBe((await headIn(data)).length);
  byHand(data);
  const [first] = written.studies;
  const found = { seq: first?.entries, hash: first?.head };
  const { last, kinds } = await startOnce(data);
  expect(last).toMatchObject({ kind: 'older-copy', actor: 'server', body: { remembered, found } });
  expect((await startOnce(data)).kinds).toEqual(kinds);
  expect(readHeads(data)[id]).toMatchObject({ seq: kinds.length });
  await headIn(data);
});

test('a copy that is as long and not the same shows as well; one that only went on does not', async () => {
  const data = copyOf(folder);
  const ledger = await headIn(data);
  const [first] = written.studies;
  const head = { seq: first?.entries ?? 0, hash: first?.head ?? '', unsealed: false };
  writeHeads(data, { [id]: head });
  expect((await startOnce(data)).kinds, 'a server that was killed').toHaveLength(ledger.length);
  writeHeads(data, { [id]: { ...head, hash: 'f'.repeat(64) } });
  expect((await startOnce(data)).last?.kind).toBe('older-copy');
});

test('a restore that was cut off before it remembered the new heads is no older copy put back by hand', async () => {
  const data = copyOf(folder);
  const before = readHeads(data);
  await restored(file, data);
  writeHeads(data, before);
  expect((await startOnce(data)).last?.kind).toBe('restored');
});

test('an older copy put back by hand before a restore is noted in what is kept', async () => {
  const data = copyOf(folder);
  byHand(data);
  const done = await restored(file, data);
  const kept = new Database(done.kept as string, { readonly: true });
  expect(kept.prepare('SELECT kind FROM ledger WHERE study_id = ? ORDER BY seq DESC').pluck().get(id)).toBe(
    'older-copy',
  );
  kept.close();
});

test('a study that was here and is gone is a line in the log; what can’t be read is written anew', async () => {
  const data = copyOf(folder);
  writeHeads(data, { ...readHeads(data), GONE: { seq: 3, hash: 'a'.repeat(64), unsealed: false } });
  expect((await startOnce(data)).log).toMatch(/"studies":\["GONE"\].*missing/);
  const heads = readHeads(data);
  writeFileSync(join(data, 'heads.json'), '{');
  expect((await startOnce(data)).log).not.toContain('missing');
  expect(readHeads(data)).toEqual({ [id]: heads[id] });
});

test('a witness that can’t be written holds nobody up', async () => {
  const data = copyOf(folder);
  const house = await openHouse(data);
  const desk = house.desk('Ada');
  await desk.signIn(ada);
  rmSync(join(data, 'heads.json'));
  mkdirSync(join(data, 'heads.json'));
  await desk.closeSession(study);
  expect(house.log.join('')).toContain('could not be remembered');
  rmdirSync(join(data, 'heads.json'));
  await house.close();
  expect(readHeads(data)[id]?.seq).toBe((await headIn(data)).length);
});

test.each<[string, (at: string) => void, string]>([
  ['nothing', () => undefined, 'unreadable'],
  ['a folder', (at) => mkdirSync(at), 'unreadable'],
  ['a text', (at) => writeFileSync(at, 'A text that is no database.\n'.repeat(50)), 'not-a-database'],
  ['an empty file', (at) => writeFileSync(at, ''), 'not-a-backup'],
  ['another database', (at) => void new Database(at).exec('CREATE TABLE x (y)').close(), 'not-a-backup'],
  ['half a file', (at) => writeFileSync(at, readFileSync(file).subarray(0, statSync(file).size / 2)), 'damaged'],
  [
    'one of a newer version',
    (at) => {
      copyFileSync(file, at);
      new Database(at).exec("INSERT INTO kysely_migration VALUES ('9999-later', '2027')").close();
    },
    'newer-version',
  ],
  [
    'a ledger that was changed',
    (at) => {
      copyFileSync(file, at);
      const database = new Database(at);
      database.exec("DROP TRIGGER ledger_no_update; UPDATE ledger SET actor = 'staff:Eve' WHERE seq = 2");
      database.close();
    },
    'broken-chain',
  ],
])('%s is refused, and nothing is changed', async (_what, make, code) => {
  const data = copyOf(folder);
  const at = join(newFolder(), 'given');
  make(at);
  const [before, names] = [dump(data), readdirSync(data)];
  const said = await run('restore', at, '--data', data);
  expect(said).toMatchObject({ code: 2, stdout: '' });
  expect(refusal(said)).toMatchObject({ code, path: 'FILE' });
  expect(dump(data)).toEqual(before);
  expect(readdirSync(data).filter((name) => !/sqlite-(wal|shm)$/.test(name))).toEqual(
    names.filter((name) => !/sqlite-(wal|shm)$/.test(name)),
  );
});

test('what can’t be reached is refused in words: a backup in no folder, data under a file', async () => {
  const data = copyOf(folder);
  const nowhere = await run('restore', join(newFolder(), 'no', 'folder'), '--data', data);
  expect([nowhere.code, refusal(nowhere)]).toMatchObject([2, { code: 'unreadable', path: 'FILE' }]);
  for (const place of [file, join(file, 'x')]) {
    const under = await run('restore', file, '--data', place);
    expect([under.code, refusal(under)]).toMatchObject([2, { code: 'unusable-data', path: '--data' }]);
  }
});

/** A process of its own, since a restore waits for another where it stands. */
async function ended(child: ChildProcessWithoutNullStreams): Promise<Said> {
  child.stdout.resume();
  const stderr: Buffer[] = [];
  child.stderr.on('data', (some: Buffer) => void stderr.push(some));
  const [code] = (await once(child, 'close')) as [number];
  return { code, stdout: '', stderr: Buffer.concat(stderr).toString() };
}

test('several restores at once: each is done, or says that another was, and nothing that was there is lost', async () => {
  const data = copyOf(folder);
  const before = await headIn(data);
  const words = ['server/start/fh.mjs', 'restore', file, '--data', data];
  const said = await Promise.all(Array.from({ length: 4 }, () => ended(spawn(process.execPath, words))));
  for (const one of said) {
    if (one.code === 0) continue;
    expect([one.code, refusal(one)]).toMatchObject([2, { code: 'data-in-use', path: '--data' }]);
  }
  const kept = readdirSync(data).filter((name) => name.includes('before-restore') && name.endsWith('.sqlite'));
  expect(kept).toHaveLength(said.filter(({ code }) => code === 0).length);
  const [first] = kept.toSorted((a, b) => a.length - b.length);
  copyFileSync(join(data, first ?? ''), join(data, 'first.sqlite'));
  const database = new Database(join(data, 'first.sqlite'), { readonly: true });
  expect(database.prepare('SELECT count(*) FROM ledger WHERE study_id = ?').pluck().get(id)).toBe(before.length);
  database.close();
});

test('a backup is not written over without --force, nor where the data are, nor without data', async () => {
  const data = copyOf(folder);
  const at = join(newFolder(), 'b');
  writeFileSync(at, 'mine');
  const to = async (place: string, ...more: string[]) => run('backup', place, '--data', data, ...more);
  expect(refusal(await to(at)).code).toBe('file-exists');
  expect(readFileSync(at, 'utf8')).toBe('mine');
  expect((await to(at, '--force')).stdout).toContain('with 2 studies');
  expect(statSync(at).size).toBeGreaterThan(10_000);
  for (const end of ['', '-wal']) {
    expect(refusal(await to(join(data, `fair-hearing.sqlite${end}`), '--force')).code).toBe('live-data');
  }
  expect(refusal(await run('restore', join(data, 'fair-hearing.sqlite'), '--data', data)).code).toBe('live-data');
  expect(refusal(await to(join(at, 'no', 'folder'))).code).toBe('no-folder');
  expect(refusal(await to(join(at, 'x'))).code).toBe('no-folder');
  expect(refusal(await to(newFolder(), '--force')).code).toBe('not-a-file');
  expect(refusal(await run('backup', join(newFolder(), 'x'), '--data', newFolder())).code).toBe('no-data');
});

test('data whose ledger was changed give no backup, and the one before stays', async () => {
  const data = copyOf(folder);
  const at = join(newFolder(), 'b');
  writeFileSync(at, 'the one before');
  const database = new Database(join(data, 'fair-hearing.sqlite'));
  database.exec("DROP TRIGGER ledger_no_update; UPDATE ledger SET body = '{' WHERE seq = 2");
  database.close();
  const said = await run('backup', at, '--data', data, '--force');
  expect(said.code).toBe(1);
  expect(said.stderr).toMatch(/breaks at its entry 2/);
  expect(readFileSync(at, 'utf8')).toBe('the one before');
  expect(readdirSync(join(at, '..'))).toEqual(['b']);
});
