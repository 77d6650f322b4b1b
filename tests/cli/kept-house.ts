import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { expect } from 'vitest';
import { brokenAt, ledgerOf } from '../../server/blinding/ledger';
import { main } from '../../server/cli/main';
import { openStore } from '../../server/store/open';
import type { StudyId } from '../../shared/brands';
import type { LedgerEntry } from '../../shared/record';
import { ada, handleAll, newFolder, openHouse, passphrase, smallPlan } from '../support/driver';

export interface Said {
  code: number;
  stdout: string;
  stderr: string;
}

/** One command line, in this process. */
export async function run(...words: string[]): Promise<Said> {
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(words, io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}

export interface Restored {
  madeAt: string | null;
  kept: string | null;
  gone: string[];
  studies: { id: string; state: string; entries: number; head: string; replaced: unknown; keyThere: boolean }[];
}

export async function restored(file: string, folder: string): Promise<Restored> {
  const said = await run('restore', file, '--data', folder, '--json');
  expect(said).toMatchObject({ code: 0, stderr: '' });
  return JSON.parse(said.stdout) as Restored;
}

/** A house with one locked study and a draft, its backup, and what came after: a listener with the first sample. */
export interface KeptHouse {
  folder: string;
  /** The backup. */
  file: string;
  /** What it said of itself. */
  written: { bytes: number; sha256: string; studies: { id: string; state: string; entries: number; head: string }[] };
  /** Address and id of the study. */
  study: string;
  id: StudyId;
  joinCode: string;
  /** Of the phone of the listener at the seat. */
  phoneCookies: [name: string, value: string][];
}

export async function keptHouse(): Promise<KeptHouse> {
  const folder = newFolder();
  const file = join(newFolder(), 'first.backup');
  const house = await openHouse(folder);
  const desk = house.desk('Ada');
  await desk.makeFirstAccount(house.firstCode, ada);
  const study = await desk.plan({ ...smallPlan, handling: 'solo' });
  await desk.lock(study, passphrase);
  house.wait(1);
  await desk.plan({ ...smallPlan, title: 'A draft' });
  const said = await run('backup', file, '--data', folder, '--json');
  expect(said).toMatchObject({ code: 0, stderr: '' });
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('One');
  await phone.join(joinCode, { alias: 'One' });
  await phone.checkIn();
  await phone.consent();
  await handleAll(desk, study);
  await house.close();
  return {
    folder,
    file,
    written: JSON.parse(said.stdout) as KeptHouse['written'],
    study,
    id: study.split('/').at(-1) as StudyId,
    joinCode,
    phoneCookies: ['fh_listener', 'fh_visit'].map((name) => [name, phone.cookies.get(name) ?? '']),
  };
}

/** The ledger of a study in a data folder that nobody serves; its chain holds. */
export async function wholeLedger(data: string, id: StudyId): Promise<LedgerEntry[]> {
  const store = await openStore(data);
  try {
    const ledger = await ledgerOf(store.db, id);
    expect(brokenAt(ledger)).toBeNull();
    return ledger;
  } finally {
    await store.close();
  }
}
