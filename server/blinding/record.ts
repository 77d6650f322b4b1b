import type { StudyId } from '../../shared/brands';
import type { LedgerEntry, Signature, StudyRecord } from '../../shared/record';
import { toolVersion } from '../root';
import type { Db } from '../store/open';
import { canonicalJson } from './canonical-json';
import { sha256 } from './hash';
import { ledgerOf } from './ledger';
import { signaturesOf } from './signing';
import { filesOf } from './sound-matches';

/** The whole study, to take away. All else is derived from its ledger. */
export async function recordOf(db: Db, study: StudyId): Promise<StudyRecord> {
  return wholeRecord(await ledgerOf(db, study), await signaturesOf(db, study));
}

/** A record as it is written, with its checksum. */
export function wholeRecord(ledger: LedgerEntry[], signatures: Signature[]): StudyRecord {
  const record: StudyRecord = {
    format: 'fair-hearing/record',
    version: 1,
    tool: { name: 'Fair Hearing', version: toolVersion },
    ledger,
    keys: { public: lockedKey(ledger) },
    signatures,
    audio: filesOf(ledger),
  };
  return { ...record, sha256: checksumOf(record) };
}

/** The public key that the entry of the locked plan names, or null. */
export function lockedKey(ledger: readonly LedgerEntry[]): string | null {
  const key = ledger.find(({ kind }) => kind === 'plan-locked')?.body.signingKey;
  return typeof key === 'string' ? key : null;
}

/** SHA-256 of the canonical JSON of a record without its checksum. */
export function checksumOf({ sha256: _, ...record }: StudyRecord): string {
  return sha256(canonicalJson(record));
}

/** The bytes of a record as it is taken away: always laid out alike, so that a changed byte can be told. */
export const recordText = (record: unknown): string => `${JSON.stringify(record, null, 1)}\n`;
