import type { StaffId, StudyId } from '../../shared/brands';
import type { Db, SheetOpeningRow, StudyRow } from './tables';

export const insertStudy = (tx: Db, row: StudyRow) => tx.insertInto('study').values(row).execute();

export const findStudy = (db: Db, id: StudyId): Promise<StudyRow | undefined> =>
  db.selectFrom('study').selectAll().where('id', '=', id).executeTakeFirst();

export const listStudies = (db: Db): Promise<StudyRow[]> =>
  db.selectFrom('study').selectAll().orderBy('created_at', 'desc').execute();

export const updateStudy = (tx: Db, id: StudyId, change: Partial<StudyRow>) =>
  tx.updateTable('study').set(change).where('id', '=', id).execute();

export const insertSheetOpening = (tx: Db, row: SheetOpeningRow) =>
  tx.insertInto('sheet_opening').values(row).execute();

export const sheetOpenings = (db: Db, study: StudyId) =>
  db
    .selectFrom('sheet_opening')
    .innerJoin('staff', 'staff.id', 'sheet_opening.staff_id')
    .select(['staff.id as staff_id', 'staff.name as name', 'staff.name_key as name_key', 'session_number', 'at'])
    .where('study_id', '=', study)
    .orderBy('at')
    .execute();

export const openedSheet = async (db: Db, study: StudyId, staff: StaffId): Promise<boolean> =>
  (await db
    .selectFrom('sheet_opening')
    .select('at')
    .where('study_id', '=', study)
    .where('staff_id', '=', staff)
    .limit(1)
    .executeTakeFirst()) !== undefined;
