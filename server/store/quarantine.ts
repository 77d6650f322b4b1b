import type { ActId, TrialId } from '../../shared/brands';
import type { Db, QuarantineRow } from './tables';

export const insertQuarantine = (tx: Db, row: QuarantineRow) => tx.insertInto('quarantine').values(row).execute();

export const findQuarantine = (db: Db, id: ActId): Promise<QuarantineRow | undefined> =>
  db.selectFrom('quarantine').selectAll().where('id', '=', id).executeTakeFirst();

/** What came too late for one trial. */
export const quarantinedFor = (db: Db, trial: TrialId): Promise<QuarantineRow[]> =>
  db.selectFrom('quarantine').selectAll().where('trial_id', '=', trial).execute();
