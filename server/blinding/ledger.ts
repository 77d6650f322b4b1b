import type { StudyId } from '../../shared/brands';
import type { LedgerEntry } from '../../shared/record';
import { appendLedger, lastLedger, ledgerOfKinds, readLedger } from '../store/ledger';
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

/** Adds one entry, inside the transaction that does what the entry says. */
export async function record(
  tx: Db,
  study: StudyId,
  entry: { at: Date; actor: string; kind: string; body: Record<string, unknown> },
): Promise<LedgerEntry> {
  const last = await lastLedger(tx, study);
  const unhashed = {
    seq: (last?.seq ?? 0) + 1,
    at: entry.at.toISOString(),
    actor: entry.actor,
    kind: entry.kind,
    body: entry.body,
    previous: last?.hash ?? firstPrevious,
  };
  const whole: LedgerEntry = { ...unhashed, hash: entryHash(unhashed) };
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
