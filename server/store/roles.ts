import type { ListenerId, StaffId, StudyId } from '../../shared/brands';
import type { Role } from '../../shared/roles';
import type { Db, StudyRoleRow } from './tables';

/** Answers false, and changes nothing, when that person has the role already. */
export async function insertStudyRole(tx: Db, row: StudyRoleRow): Promise<boolean> {
  const done = await tx
    .insertInto('study_role')
    .values(row)
    .onConflict((conflict) => conflict.columns(['study_id', 'staff_id', 'role']).doNothing())
    .executeTakeFirst();
  return Number(done.numInsertedOrUpdatedRows ?? 0) === 1;
}

/** Answers false when there was nothing to take away. */
export async function deleteStudyRole(tx: Db, study: StudyId, staff: StaffId, role: Role): Promise<boolean> {
  const done = await tx
    .deleteFrom('study_role')
    .where('study_id', '=', study)
    .where('staff_id', '=', staff)
    .where('role', '=', role)
    .executeTakeFirst();
  return Number(done.numDeletedRows) === 1;
}

const named = (db: Db) =>
  db
    .selectFrom('study_role')
    .innerJoin('staff', 'staff.id', 'study_role.staff_id')
    .select(['study_role.study_id as study_id', 'staff.id as staff_id', 'staff.name as name', 'role', 'at']);

/** Every role that was given in a study, the oldest first. */
export const studyRoles = (db: Db, study: StudyId) =>
  named(db).where('study_id', '=', study).orderBy('at').orderBy('name').execute();

/** The same for all studies of this server. */
export const allStudyRoles = (db: Db) => named(db).orderBy('at').orderBy('name').execute();

/** Who of the staff knows which sample is which in a study, or has the preparer's role and soon will. */
export async function keyKnowers(db: Db, study: StudyId): Promise<{ id: StaffId; name: string }[]> {
  return db
    .selectFrom('staff')
    .select(['id', 'name'])
    .where((e) =>
      e.or([
        e('id', 'in', e.selectFrom('sheet_opening').select('staff_id').where('study_id', '=', study)),
        e('id', 'in', e.selectFrom('key_look').select('staff_id').where('study_id', '=', study)),
        e(
          'id',
          'in',
          e.selectFrom('study_role').select('staff_id').where('study_id', '=', study).where('role', '=', 'preparer'),
        ),
      ]),
    )
    .orderBy('name')
    .execute();
}

/** Who was signed in as staff in a browser from which this listener ever joined a study, of whatever study. */
export async function staffBehindListener(db: Db, listener: ListenerId): Promise<StaffId[]> {
  const rows = await db
    .selectFrom('membership')
    .select('staff_id')
    .distinct()
    .where('listener_id', '=', listener)
    .where('staff_id', 'is not', null)
    .execute();
  return rows.flatMap(({ staff_id }) => (staff_id === null ? [] : [staff_id]));
}
