import { existsSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import type { StudyId } from '../../shared/brands';
import { type Chain, chainsOf } from '../blinding/chains';
import { type Head, type Heads, headOf, noticeOlderCopies, readHeads, writeHeads } from '../blinding/heads';
import { hasWorkingKey, sweepKeys } from '../blinding/lock';
import { recordSigned } from '../blinding/signing';
import { toolVersion } from '../root';
import {
  databaseEnds,
  hasDatabase,
  inspectDatabase,
  readingDatabase,
  removeDatabase,
  replaceContents,
} from '../store/backup';
import { type Db, databaseName, openStore } from '../store/open';
import { BadInput } from './command';

export interface PutBack {
  /** Where the data are that were there before; null where there were none. */
  kept: string | null;
  studies: PutBackStudy[];
  /** Studies that were there before and are not in the copy. */
  gone: StudyId[];
}

export interface PutBackStudy extends Omit<Chain, 'brokenAt'> {
  /** How far this study was before; null where it wasn't there. */
  replaced: Head | null;
  /** Whether the key that the server works with is in the data folder. */
  keyThere: boolean;
}

export interface ToPutBack {
  folder: string;
  /** A checked copy, up to date, in the data folder. */
  copy: string;
  at: Date;
  madeAt: string | null;
  /** Whether a server runs on this folder. */
  served: boolean;
}

/**
 * Puts a checked copy in the place of the data of a folder. Every study whose plan is locked, or was, gets an entry `restored` in
 * the same transaction, so that there is no moment in which a ledger doesn't say it.
 */
export async function putBack({ folder, copy, at, madeAt, served }: ToPutBack): Promise<PutBack> {
  const had = hasDatabase(folder);
  const keep = freeName(folder, at);
  const wrecked = had && moveWreckAside(folder, keep, served);
  await bringUpToDate(folder, served, at);
  const remembered = readHeads(folder);
  // What was made just now is not worth keeping.
  const file = had && !wrecked ? keep : `${keep}.new`;
  const stamp = { madeAt: at.toISOString(), tool: toolVersion };
  const { studies, gone, heads } = await replaceContents(folder, copy, { file, stamp }, async (db, swap) => {
    const there = await chainsOf(db);
    const before: Heads = { ...remembered, ...(await headsOf(db, there, remembered)) };
    // Should all end between the commit and the new heads, the entries name exactly what is remembered.
    writeHeads(folder, before);
    swap();
    const studies: PutBackStudy[] = [];
    for (const { brokenAt: _, ...chain } of await chainsOf(db)) {
      const replaced = before[chain.id] ?? null;
      // A draft that had been locked since says it, too: locked anew it would have another draw, and no trace of the first.
      const says =
        (chain.state !== 'draft' || replaced !== null) &&
        (await saysRestored(db, { folder, at, madeAt, chain, replaced }));
      studies.push({ ...chain, ...(says || {}), replaced, keyThere: hasWorkingKey(folder, chain.id) });
    }
    return {
      studies,
      gone: there.map(({ id }) => id).filter((id) => !studies.some((study) => study.id === id)),
      heads: { ...before, ...(await headsOf(db, studies, before)) },
    };
  });
  if (file !== keep) removeDatabase(file);
  rememberIfPossible(folder, heads);
  await readingDatabase(join(folder, databaseName), (db) => sweepKeys(db, folder));
  return { kept: had ? keep : null, studies, gone };
}

/** All is done by now, and the entries name what was remembered before: the next start remembers the rest. */
function rememberIfPossible(folder: string, heads: Heads): void {
  try {
    writeHeads(folder, heads);
  } catch {
    // A witness that can't be written, on a disk that is full, makes nothing undone.
  }
}

async function saysRestored(
  db: Db,
  {
    folder,
    at,
    madeAt,
    chain,
    replaced,
  }: { chain: Omit<Chain, 'brokenAt'>; replaced: Head | null } & Pick<ToPutBack, 'folder' | 'at' | 'madeAt'>,
): Promise<{ entries: number; head: string }> {
  const { seq, hash } = await recordSigned(db, folder, chain.id, {
    at,
    actor: 'server',
    kind: 'restored',
    body: { madeAt, seq: chain.entries, hash: chain.head, replaced: replaced && { ...replaced } },
  });
  return { entries: seq, head: hash };
}

async function headsOf(db: Db, studies: readonly { id: StudyId }[], remembered: Heads): Promise<Heads> {
  const heads: Heads = {};
  for (const { id } of studies) {
    const head = await headOf(db, id, remembered[id]);
    if (head) heads[id] = head;
  }
  return heads;
}

/** Makes a database where there is none, and notes what was not noticed yet because no server was started. */
async function bringUpToDate(folder: string, served: boolean, at: Date): Promise<void> {
  try {
    const store = await openStore(folder);
    try {
      if (!served) await noticeOlderCopies(store, () => at);
    } finally {
      await store.close();
    }
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new BadInput({
      code: 'unusable-data',
      message: `--data names ${folder}, where nothing can be brought back: ${reason}`,
      path: '--data',
      allowed: 'a folder that this user may write in, new or written by this version or an older one',
      got: folder,
    });
  }
}

/** Moves a database that is damaged out of the way, with all that lies beside it; answers whether it was. */
function moveWreckAside(folder: string, keep: string, served: boolean): boolean {
  const live = join(folder, databaseName);
  const { kind } = inspectDatabase(live);
  if (kind !== 'damaged' && kind !== 'no-database') return false;
  if (served) {
    throw new BadInput({
      code: 'data-in-use',
      message: `The data in ${folder} are damaged and a server still works with them. Stop it first.`,
      path: '--data',
      allowed: 'a folder that no server uses, where the data are damaged',
      got: folder,
    });
  }
  for (const end of databaseEnds) if (existsSync(live + end)) renameSync(live + end, keep + end);
  return true;
}

/** Where the data go that are there now. */
function freeName(folder: string, at: Date): string {
  const time = at.toISOString().replace(/[-:]|\.\d+/g, '');
  for (let number = 1; ; number++) {
    const more = number === 1 ? '' : `-${number}`;
    const file = join(folder, `fair-hearing.before-restore-${time}${more}.sqlite`);
    if (!existsSync(file)) return file;
  }
}
