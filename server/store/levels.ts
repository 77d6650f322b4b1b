import { sql } from 'kysely';
import type { ListenerId, SittingId, StudyId } from '../../shared/brands';
import type { Db, ListeningLevelRow, UnitLevelRow } from './tables';

export const insertUnitLevel = (tx: Db, row: UnitLevelRow) => tx.insertInto('unit_level').values(row).execute();

/** All that was ever measured in a study, what was noted last first, as in the ledger: clocks can be set back. */
export const unitLevels = (db: Db, study: StudyId) =>
  db
    .selectFrom('unit_level')
    .innerJoin('staff', 'staff.id', 'unit_level.staff_id')
    .select([
      ...(['unit_level.id', 'unit_id', 'left_db', 'right_db', 'measured_on', 'device', 'method'] as const),
      ...(['response', 'at', 'staff.name as by'] as const),
    ])
    .where('study_id', '=', study)
    .orderBy(sql`unit_level.rowid`, 'desc')
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

/** Whether anybody has noted any listening level: without one, nothing can be said of anybody's week. */
export const anyListeningLevel = async (db: Db): Promise<boolean> =>
  (await db.selectFrom('listening_level').select('study_id').limit(1).executeTakeFirst()) !== undefined;

/** The sittings of a listener that went on since then, in whatever study. */
export const sittingsSince = (db: Db, listener: ListenerId, since: string) =>
  db
    .selectFrom('sitting')
    .innerJoin('study', 'study.id', 'sitting.study_id')
    .select(['sitting.id', 'study_id', 'plan', 'seated_at', 'ended_at'])
    .where('listener_id', '=', listener)
    .where('seated_at', 'is not', null)
    .where((either) => either.or([either('ended_at', 'is', null), either('ended_at', '>=', since)]))
    .execute();

/** What the phones of a sitting have sent since then. */
export const actsSince = (db: Db, sitting: SittingId, since: string) =>
  db.selectFrom('act').select('body').where('sitting_id', '=', sitting).where('at', '>=', since).execute();
