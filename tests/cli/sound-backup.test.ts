import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { SoundShelf } from '../../server/audio/shelf';
import { aPlan } from '../blinding/a-plan';
import { copyOf, dump, newFolder, removeFolders } from '../support/driver';
import { soundHouse } from '../support/sound-house';
import { restored, run, type Said } from './kept-house';

/** Sound files belong to the data though they lie beside the database: backup takes them along, restore brings them back. */

let folder: string;
let file: string;
let names: string[];
let written: Said;
beforeAll(async () => {
  const { house } = await soundHouse(aPlan({ playback: 'renders', excerpts: 2 }));
  await house.close();
  folder = house.folder;
  bringLongOne(folder);
  names = (dump(folder).sound_file as { sha256: string }[]).map(({ sha256 }) => sha256).sort();
  file = join(newFolder(), 'sound.backup');
  written = await run('backup', file, '--data', folder);
});
afterAll(removeFolders);

/** A file that goes into a backup in several pieces; to a backup it is bytes and a name. */
function bringLongOne(data: string): void {
  const bytes = Buffer.from(Uint32Array.from({ length: 700_000 }, (_, i) => Math.imul(i, 2_654_435_761)).buffer);
  const sha256 = createHash('sha256').update(bytes).digest('hex');
  writeFileSync(join(data, 'sound', sha256), bytes, { mode: 0o600 });
  const database = new Database(join(data, 'fair-hearing.sqlite'));
  database
    .prepare("INSERT INTO sound_file VALUES (?, ?, 'wav', 48000, 1, 1, '{}', '2026-03-02T09:00:00Z')")
    .run(sha256, bytes.length);
  database.close();
}

const soundsIn = (data: string) =>
  readdirSync(join(data, 'sound'))
    .filter((name) => name !== 'cuts')
    .sort();

test('a backup says how many files of sound are in it', () => {
  expect(written).toMatchObject({ code: 0, stderr: '' });
  expect(written.stdout).toContain('1 study and 5 files of sound');
});

test('into an empty folder: every file is there by its name, for this account alone, and none beside', async () => {
  const data = join(newFolder(), 'new');
  const done = await restored(file, data);
  expect(done).toMatchObject({ sounds: { files: 5, astray: [] } });
  expect(names).toHaveLength(5);
  expect(soundsIn(data)).toEqual(names);
  const shelf = new SoundShelf(data);
  for (const name of names) {
    expect(await shelf.isWhole(name)).toBe(true);
    expect(readFileSync(join(data, 'sound', name)).equals(readFileSync(join(folder, 'sound', name)))).toBe(true);
    if (process.platform !== 'win32') expect(statSync(join(data, 'sound', name)).mode & 0o777).toBe(0o600);
  }
  // The database itself is as small as before.
  expect(Object.keys(dump(data)).sort()).toEqual(Object.keys(dump(folder)).sort());
  // And what was made of it is made again.
  const again = join(newFolder(), 'again.backup');
  expect(JSON.parse((await run('backup', again, '--data', data, '--json')).stdout)).toMatchObject({
    sounds: { files: 5, astray: [] },
  });
});

test('over what is there: a file that is missing or damaged comes back, and another that nobody names stays', async () => {
  const data = copyOf(folder);
  const [gone, spoilt, kept] = names as [string, string, string];
  rmSync(join(data, 'sound', gone));
  writeFileSync(join(data, 'sound', spoilt), 'something else');
  const before = statSync(join(data, 'sound', kept)).mtimeMs;
  writeFileSync(join(data, 'sound', 'a'.repeat(64)), 'of a study that is not in the backup');
  await restored(file, data);
  expect(soundsIn(data)).toEqual([...names, 'a'.repeat(64)].sort());
  const shelf = new SoundShelf(data);
  for (const name of names) expect(await shelf.isWhole(name)).toBe(true);
  // What is whole isn't written anew.
  expect(statSync(join(data, 'sound', kept)).mtimeMs).toBe(before);
});

test('a file that is missing or damaged at backup is said, by an exit code too, and costs nothing else', async () => {
  const data = copyOf(folder);
  const [gone, spoilt, ...whole] = names as [string, string, ...string[]];
  rmSync(join(data, 'sound', gone));
  writeFileSync(join(data, 'sound', spoilt), 'something else');
  const part = join(newFolder(), 'part.backup');
  const said = await run('backup', part, '--data', data, '--json');
  expect(said.code).toBe(1);
  expect(said.stderr).toMatch(/^The backup was written, but 2 files of sound are missing or damaged/);
  expect(said.stderr).toContain(`sound/${gone} (missing)`);
  expect(said.stderr).toContain(`sound/${spoilt} (damaged)`);
  const astray = [
    { sha256: gone, what: 'missing' },
    { sha256: spoilt, what: 'damaged' },
  ].sort((a, b) => (a.sha256 < b.sha256 ? -1 : 1));
  expect(JSON.parse(said.stdout)).toMatchObject({ studies: [{ state: 'locked' }], sounds: { files: 3, astray } });

  const empty = join(newFolder(), 'new');
  const back = await run('restore', part, '--data', empty);
  expect(back.code).toBe(0);
  expect(back.stdout).toContain('2 are not in it and not here');
  expect(soundsIn(empty)).toEqual(whole);
  // Where they are still, nothing is missing.
  const home = copyOf(folder);
  expect(await restored(part, home)).toMatchObject({ sounds: { files: 3, astray: [] } });
});

test('one byte of a sound changed in a backup: refused, and nothing is changed', async () => {
  const changed = join(newFolder(), 'changed.backup');
  writeFileSync(changed, readFileSync(file));
  const database = new Database(changed);
  const bytes = database.prepare('SELECT bytes FROM sound_bytes WHERE sha256 = ?').pluck().get(names[1]) as Buffer;
  bytes[1000] = (bytes[1000] ?? 0) ^ 1;
  database.prepare('UPDATE sound_bytes SET bytes = ? WHERE sha256 = ?').run(bytes, names[1]);
  database.close();
  const data = join(newFolder(), 'new');
  const said = await run('restore', changed, '--data', data);
  expect(said.code).toBe(2);
  expect(JSON.parse(said.stderr)).toMatchObject({ error: { code: 'damaged', path: 'FILE' } });
  expect(said.stderr).toContain(names[1]);
  expect(existsSync(join(data, 'fair-hearing.sqlite'))).toBe(false);
  expect(readdirSync(join(data, 'sound')).filter((name) => name.endsWith('.part'))).toEqual([]);
});

test('a name that is no hash leads nowhere', async () => {
  const changed = join(newFolder(), 'strange.backup');
  writeFileSync(changed, readFileSync(file));
  const database = new Database(changed);
  database.prepare('UPDATE sound_bytes SET sha256 = ? WHERE sha256 = ?').run('../../elsewhere', names[0]);
  database.close();
  const data = join(newFolder(), 'deep', 'new');
  expect((await run('restore', changed, '--data', data)).code).toBe(2);
  expect(existsSync(join(data, '..', 'elsewhere'))).toBe(false);
});

test('a backup that was put in place by hand keeps the sounds that are in it', async () => {
  const data = join(newFolder(), 'by-hand');
  mkdirSync(data);
  writeFileSync(join(data, 'fair-hearing.sqlite'), readFileSync(file));
  const again = join(newFolder(), 'again.backup');
  const said = await run('backup', again, '--data', data, '--json');
  expect(said).toMatchObject({ code: 0, stderr: '' });
  const back = await restored(again, data);
  expect(back).toMatchObject({ sounds: { files: 5, astray: [] } });
  expect(soundsIn(data)).toEqual(names);
});
