import type { StudyId, TrialId } from '../../shared/brands';
import type { Db, LedgerRow } from './tables';

export const appendLedger = (tx: Db, row: LedgerRow) => tx.insertInto('ledger').values(row).execute();

/** Many at once, in their order; few enough at a time for what one statement may hold. */
export async function appendLedgerAll(tx: Db, rows: readonly LedgerRow[]): Promise<void> {
  for (let at = 0; at < rows.length; at += 200) {
    await tx
      .insertInto('ledger')
      .values(rows.slice(at, at + 200))
      .execute();
  }
}

export const lastLedger = (db: Db, study: StudyId) =>
  db
    .selectFrom('ledger')
    .select(['seq', 'hash'])
    .where('study_id', '=', study)
    .orderBy('seq', 'desc')
    .limit(1)
    .executeTakeFirst();

export const readLedger = (db: Db, study: StudyId): Promise<LedgerRow[]> =>
  db.selectFrom('ledger').selectAll().where('study_id', '=', study).orderBy('seq').execute();

export const ledgerOfKinds = (db: Db, study: StudyId, kinds: string[]): Promise<LedgerRow[]> =>
  db.selectFrom('ledger').selectAll().where('study_id', '=', study).where('kind', 'in', kinds).orderBy('seq').execute();

/** The last entry of a kind that is about this trial. Bodies are canonical JSON, so the trial stands there in one way. */
export const lastEntryAbout = (db: Db, study: StudyId, kind: string, trial: TrialId): Promise<LedgerRow | undefined> =>
  db
    .selectFrom('ledger')
    .selectAll()
    .where('study_id', '=', study)
    .where('kind', '=', kind)
    .where('body', 'like', `%"trial":"${trial}"%`)
    .orderBy('seq', 'desc')
    .limit(1)
    .executeTakeFirst();

export const ledgerAt = (db: Db, study: StudyId, seq: number): Promise<LedgerRow | undefined> =>
  db.selectFrom('ledger').selectAll().where('study_id', '=', study).where('seq', '=', seq).executeTakeFirst();

/** So many entries after this one, in their order. */
export const ledgerAfter = (db: Db, study: StudyId, seq: number, most: number): Promise<LedgerRow[]> =>
  db
    .selectFrom('ledger')
    .selectAll()
    .where('study_id', '=', study)
    .where('seq', '>', seq)
    .orderBy('seq')
    .limit(most)
    .execute();
