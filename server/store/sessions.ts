import type { SessionId, StudyId } from '../../shared/brands';
import type { Db, SessionRow } from './tables';

export const insertSession = (tx: Db, row: SessionRow) => tx.insertInto('session').values(row).execute();

export const updateSession = (tx: Db, id: SessionId, change: Partial<SessionRow>) =>
  tx.updateTable('session').set(change).where('id', '=', id).execute();

export const findSession = (db: Db, id: SessionId): Promise<SessionRow | undefined> =>
  db.selectFrom('session').selectAll().where('id', '=', id).executeTakeFirst();

export const findSessionByCode = (db: Db, code: string): Promise<SessionRow | undefined> =>
  db.selectFrom('session').selectAll().where('join_code', '=', code).executeTakeFirst();

export const sessionsOf = (db: Db, study: StudyId): Promise<SessionRow[]> =>
  db.selectFrom('session').selectAll().where('study_id', '=', study).orderBy('number').execute();

/** The session that is not closed, if there is one: a study has at most one at a time. */
export const currentSession = (db: Db, study: StudyId): Promise<SessionRow | undefined> =>
  db.selectFrom('session').selectAll().where('study_id', '=', study).where('state', '!=', 'closed').executeTakeFirst();

/** Sessions that are not closed, of every study. */
export const openSessions = (db: Db): Promise<SessionRow[]> =>
  db.selectFrom('session').selectAll().where('state', '!=', 'closed').orderBy('opened_at').execute();
