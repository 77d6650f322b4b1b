import type { ActId, SessionId, SittingId, TrialId } from '../../shared/brands';
import type { ActRow, Db, TrialRow } from './tables';

export const insertTrials = (tx: Db, rows: TrialRow[]) => tx.insertInto('trial').values(rows).execute();

export const updateTrial = (tx: Db, id: TrialId, change: Partial<TrialRow>) =>
  tx.updateTable('trial').set(change).where('id', '=', id).execute();

export const findTrial = (db: Db, id: TrialId): Promise<TrialRow | undefined> =>
  db.selectFrom('trial').selectAll().where('id', '=', id).executeTakeFirst();

export const trialsOf = (db: Db, sitting: SittingId): Promise<TrialRow[]> =>
  db.selectFrom('trial').selectAll().where('sitting_id', '=', sitting).orderBy('ordinal').execute();

export const trialsOfSession = (db: Db, session: SessionId): Promise<TrialRow[]> =>
  db
    .selectFrom('trial')
    .innerJoin('sitting', 'sitting.id', 'trial.sitting_id')
    .selectAll('trial')
    .where('session_id', '=', session)
    .orderBy('trial.ordinal')
    .execute();

export const insertAct = (tx: Db, row: ActRow) => tx.insertInto('act').values(row).execute();

export const findAct = (db: Db, id: ActId): Promise<ActRow | undefined> =>
  db.selectFrom('act').selectAll().where('id', '=', id).executeTakeFirst();
