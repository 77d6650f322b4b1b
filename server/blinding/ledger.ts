import type { StudyId } from '../../shared/brands';
import type { LedgerEntry } from '../../shared/record';
import { appendLedger, appendLedgerAll, lastLedger, ledgerOfKinds, readLedger } from '../store/ledger';
import type { Db } from '../store/open';
import { canonicalJson } from './canonical-json';
import { sha256 } from './hash';

/** The chain begins here. */
export const firstPrevious = '0'.repeat(64);

/** SHA-256 of the previous hash and the canonical JSON of all that the entry says. */
export function entryHash(entry: Omit<LedgerEntry, 'hash'>): string {
  const { seq, at, actor, kind, body, previous } = entry;
  return sha256(previous, canonicalJson({ seq, at, actor, kind, body }));
}

export interface NewEntry {
  at: Date;
  actor: string;
  kind: string;
  body: Record<string, unknown>;
}

/** An entry bound to the one before it; null where it is the first. */
export function chainedTo(last: Pick<LedgerEntry, 'seq' | 'hash'> | null, entry: NewEntry): LedgerEntry {
  const unhashed = {
    seq: (last?.seq ?? 0) + 1,
    at: entry.at.toISOString(),
    actor: entry.actor,
    kind: entry.kind,
    body: entry.body,
    previous: last?.hash ?? firstPrevious,
  };
  return { ...unhashed, hash: entryHash(unhashed) };
}

/** Adds entries that come together, inside the transaction that does what they say. */
export async function recordAll(tx: Db, study: StudyId, entries: readonly NewEntry[]): Promise<LedgerEntry[]> {
  let last: Pick<LedgerEntry, 'seq' | 'hash'> | null = (await lastLedger(tx, study)) ?? null;
  const written: LedgerEntry[] = [];
  for (const entry of entries) {
    const whole = chainedTo(last, entry);
    written.push(whole);
    last = whole;
  }
  await appendLedgerAll(
    tx,
    written.map((whole) => ({ study_id: study, ...whole, body: canonicalJson(whole.body) })),
  );
  return written;
}

/** Adds one entry, inside the transaction that does what the entry says. */
export async function record(tx: Db, study: StudyId, entry: NewEntry): Promise<LedgerEntry> {
  const whole = chainedTo((await lastLedger(tx, study)) ?? null, entry);
  await appendLedger(tx, { study_id: study, ...whole, body: canonicalJson(whole.body) });
  return whole;
}

export async function ledgerOf(db: Db, study: StudyId): Promise<LedgerEntry[]> {
  const rows = await readLedger(db, study);
  return rows.map(({ seq, at, actor, kind, body, previous, hash }) => ({
    seq,
    at,
    actor,
    kind,
    body: JSON.parse(body) as Record<string, unknown>,
    previous,
    hash,
  }));
}

/** The first entry at which the chain breaks, or null when it holds. */
export function brokenAt(ledger: readonly LedgerEntry[]): number | null {
  let previous = firstPrevious;
  for (const [index, entry] of ledger.entries()) {
    if (entry.seq !== index + 1 || entry.previous !== previous || !hashes(entry)) return index + 1;
    previous = entry.hash;
  }
  return null;
}

/** Whether the hash of an entry is made of it; what can't be written as canonical JSON was never hashed. */
function hashes(entry: LedgerEntry): boolean {
  try {
    return entry.hash === entryHash(entry);
  } catch {
    return false;
  }
}

/** Entries of some kinds, with their bodies. */
export async function ledgerBodies(
  db: Db,
  study: StudyId,
  kinds: string[],
): Promise<{ at: string; actor: string; kind: string; body: Record<string, unknown> }[]> {
  const rows = await ledgerOfKinds(db, study, kinds);
  return rows.map(({ at, actor, kind, body }) => ({
    at,
    actor,
    kind,
    body: JSON.parse(body) as Record<string, unknown>,
  }));
}
