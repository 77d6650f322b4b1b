import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Logger } from 'pino';
import { z } from 'zod';
import type { StudyId } from '../../shared/brands';
import type { StudyState } from '../../shared/states';
import { writeWhole } from '../store/durable-file';
import { lastLedger, ledgerAt } from '../store/ledger';
import type { Db, Store } from '../store/open';
import { findStudy, listStudies } from '../store/studies';
import { ledgerBodies } from './ledger';
import { recordSigned } from './signing';

/**
 * How far each ledger was, in the file `heads.json` beside the database, so that an older copy put back by hand shows:
 * a ledger can prove that nothing in it was changed, but not that nothing is missing at its end. The file is a witness
 * and no lock: whoever may write in the folder can remove or change it, and then it says nothing.
 */
export interface Head {
  seq: number;
  hash: string;
  /** Whether the key had been opened by then, in this ledger or in one that it replaced. */
  unsealed: boolean;
}

export type Heads = Record<string, Head>;

const headsSchema = z.record(
  z.string(),
  z.strictObject({ seq: z.int().min(1), hash: z.string().regex(/^[0-9a-f]{64}$/), unsealed: z.boolean() }),
);

/** After these steps the head is remembered; and when the server ends as it should. */
export const milestones: readonly string[] = [
  'plan-locked',
  'session-opened',
  'session-closed',
  'amended',
  'study-closed',
  'unsealed',
  'signed',
  'refused',
  'restored',
  'older-copy',
];

const fileOf = (folder: string): string => join(folder, 'heads.json');

/** What is remembered; nothing where the file is gone or can't be read. */
export function readHeads(folder: string): Heads {
  try {
    return headsSchema.parse(JSON.parse(readFileSync(fileOf(folder), 'utf8')));
  } catch {
    return {};
  }
}

export const writeHeads = (folder: string, heads: Heads): void =>
  writeWhole(fileOf(folder), `${JSON.stringify(heads, null, 1)}\n`);

const open: readonly StudyState[] = ['unsealed', 'signed', 'refused'];

/** How far a study is now; null for a draft, and where there is no such study. */
export async function headOf(db: Db, study: StudyId, remembered?: Head): Promise<Head | null> {
  const row = await findStudy(db, study);
  const last = row && row.state !== 'draft' ? await lastLedger(db, study) : undefined;
  if (!row || !last) return null;
  return { ...last, unsealed: open.includes(row.state) || remembered?.unsealed === true };
}

/** Remembers how far every study is. */
export async function rememberHeads({ db, folder }: Pick<Store, 'db' | 'folder'>): Promise<void> {
  const before = readHeads(folder);
  const heads = { ...before };
  for (const { id } of await listStudies(db)) {
    const head = await headOf(db, id, before[id]);
    if (head) heads[id] = head;
  }
  if (JSON.stringify(heads) !== JSON.stringify(before)) writeHeads(folder, heads);
}

/**
 * Remembers how far one study is, when something was recorded that is worth it. What was recorded is on disk already, so
 * a witness that can't be written is a line in the log and no failure.
 */
export async function rememberHead(
  { store: { db, folder }, log }: { store: Pick<Store, 'db' | 'folder'>; log: Pick<Logger, 'warn'> },
  study: StudyId,
  kinds: Iterable<string>,
): Promise<void> {
  if (![...kinds].some((kind) => milestones.includes(kind))) return;
  try {
    const heads = readHeads(folder);
    const head = await headOf(db, study, heads[study]);
    if (head) writeHeads(folder, { ...heads, [study]: head });
  } catch (error) {
    log.warn({ code: (error as NodeJS.ErrnoException).code }, 'The heads of the ledgers could not be remembered');
  }
}

/**
 * At start: a ledger that doesn't contain the head that is remembered is an older copy, or another one. It says so from
 * then on. What `restore` did stands in the ledger already.
 * @returns studies that are remembered and of which nothing is there: no ledger could say so
 */
export async function noticeOlderCopies(store: Store, now: () => Date): Promise<StudyId[]> {
  const { db, folder } = store;
  const heads = readHeads(folder);
  const gone: StudyId[] = [];
  for (const [id, remembered] of Object.entries(heads)) {
    const study = id as StudyId;
    const found = await lastLedger(db, study);
    if (!found) {
      gone.push(study);
      continue;
    }
    if ((await ledgerAt(db, study, remembered.seq))?.hash === remembered.hash) continue;
    if (await saysRestored(db, study, remembered)) continue;
    await store.write((tx) =>
      recordSigned(tx, folder, study, {
        at: now(),
        actor: 'server',
        kind: 'older-copy',
        body: { remembered: { ...remembered }, found },
      }),
    );
  }
  await rememberHeads(store);
  return gone;
}

/** A restore that was cut off before it could remember the new head. */
async function saysRestored(db: Db, study: StudyId, remembered: Head): Promise<boolean> {
  const entries = await ledgerBodies(db, study, ['restored']);
  return entries.some(({ body }) => (body.replaced as Head | null)?.hash === remembered.hash);
}
