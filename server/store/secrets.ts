import type { AudienceId, StudyId } from '../../shared/brands';
import type { Db, SealedDrawRow, StudySecretRow } from './tables';

export const insertSecret = (tx: Db, row: StudySecretRow) => tx.insertInto('study_secret').values(row).execute();

export const findSecret = (db: Db, study: StudyId): Promise<StudySecretRow | undefined> =>
  db.selectFrom('study_secret').selectAll().where('study_id', '=', study).executeTakeFirst();

export const insertSealedDraw = (tx: Db, row: SealedDrawRow) => tx.insertInto('sealed_draw').values(row).execute();

export const updateSealedDraw = (tx: Db, row: SealedDrawRow) =>
  tx
    .updateTable('sealed_draw')
    .set({ sealed: row.sealed })
    .where('study_id', '=', row.study_id)
    .where('session_number', '=', row.session_number)
    .where('audience_id', '=', row.audience_id)
    .where('ordinal', '=', row.ordinal)
    .execute();

export const findSealedDraw = (db: Db, study: StudyId, session: number, audience: AudienceId, ordinal: number) =>
  db
    .selectFrom('sealed_draw')
    .selectAll()
    .where('study_id', '=', study)
    .where('session_number', '=', session)
    .where('audience_id', '=', audience)
    .where('ordinal', '=', ordinal)
    .executeTakeFirst();

export const sealedDraws = (db: Db, study: StudyId, session?: number): Promise<SealedDrawRow[]> => {
  const all = db.selectFrom('sealed_draw').selectAll().where('study_id', '=', study);
  return (session === undefined ? all : all.where('session_number', '=', session))
    .orderBy('session_number')
    .orderBy('audience_id')
    .orderBy('ordinal')
    .execute();
};

/** Forgets what was drawn for all sessions but these. */
export const deleteSealedDraws = (tx: Db, study: StudyId, kept: readonly number[]) => {
  const all = tx.deleteFrom('sealed_draw').where('study_id', '=', study);
  return (kept.length === 0 ? all : all.where('session_number', 'not in', kept)).execute();
};
