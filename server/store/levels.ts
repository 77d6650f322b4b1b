import type { StudyId } from '../../shared/brands';
import type { Db, ListeningLevelRow, UnitLevelRow } from './tables';

export const insertUnitLevel = (tx: Db, row: UnitLevelRow) => tx.insertInto('unit_level').values(row).execute();

/** All that was ever measured in a study, the newest first. */
export const unitLevels = (db: Db, study: StudyId) =>
  db
    .selectFrom('unit_level')
    .innerJoin('staff', 'staff.id', 'unit_level.staff_id')
    .select([
      ...(['unit_level.id', 'unit_id', 'left_db', 'right_db', 'measured_on', 'device', 'method'] as const),
      ...(['response', 'at', 'staff.name as by'] as const),
    ])
    .where('study_id', '=', study)
    .orderBy('unit_level.id', 'desc')
    .execute();

export type UnitLevelRead = Awaited<ReturnType<typeof unitLevels>>[number];

export const listeningLevelOf = (db: Db, study: StudyId): Promise<ListeningLevelRow | undefined> =>
  db.selectFrom('listening_level').selectAll().where('study_id', '=', study).executeTakeFirst();

export const putListeningLevel = (tx: Db, row: ListeningLevelRow) =>
  tx
    .insertInto('listening_level')
    .values(row)
    .onConflict((on) => on.column('study_id').doUpdateSet(row))
    .execute();
