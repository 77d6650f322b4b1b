import type { StaffId } from '../../shared/brands';
import type { Db, StaffRow, StaffSessionRow, StaffTokenRow } from './tables';

/** Accounts of staff, their one-time links and their sessions. Of links and sessions only hashes are stored. */

export async function anyStaff(db: Db): Promise<boolean> {
  return (await db.selectFrom('staff').select('id').limit(1).executeTakeFirst()) !== undefined;
}

export async function listStaff(db: Db): Promise<StaffRow[]> {
  return db.selectFrom('staff').selectAll().orderBy('created_at').orderBy('id').execute();
}

export async function staffById(db: Db, id: StaffId): Promise<StaffRow | undefined> {
  return db.selectFrom('staff').selectAll().where('id', '=', id).executeTakeFirst();
}

/** By the name as it is compared, see account/name.ts. */
export async function staffByNameKey(db: Db, nameKey: string): Promise<StaffRow | undefined> {
  return db.selectFrom('staff').selectAll().where('name_key', '=', nameKey).executeTakeFirst();
}

/** Answers false, and adds nobody, when the name is taken. */
export async function addStaff(tx: Db, row: StaffRow): Promise<boolean> {
  const done = await tx
    .insertInto('staff')
    .values(row)
    .onConflict((conflict) => conflict.column('name_key').doNothing())
    .executeTakeFirst();
  return Number(done.numInsertedOrUpdatedRows ?? 0) === 1;
}

export async function setStaffPassword(tx: Db, id: StaffId, password: string): Promise<void> {
  await tx.updateTable('staff').set({ password }).where('id', '=', id).execute();
}

export async function addStaffToken(tx: Db, row: StaffTokenRow): Promise<void> {
  await tx.insertInto('staff_token').values(row).execute();
}

/** The one-time link with this hash, as long as it may be used. */
export async function liveStaffToken(
  db: Db,
  kind: StaffTokenRow['kind'],
  hash: string,
  at: string,
): Promise<StaffTokenRow | undefined> {
  return db
    .selectFrom('staff_token')
    .selectAll()
    .where('hash', '=', hash)
    .where('kind', '=', kind)
    .where('used_at', 'is', null)
    .where('expires_at', '>', at)
    .executeTakeFirst();
}

export async function useStaffToken(tx: Db, hash: string, at: string): Promise<void> {
  await tx.updateTable('staff_token').set({ used_at: at }).where('hash', '=', hash).execute();
}

/** A new password makes every other link for a new password of this person worthless. */
export async function useAllResets(tx: Db, staffId: StaffId, at: string): Promise<void> {
  await tx
    .updateTable('staff_token')
    .set({ used_at: at })
    .where('kind', '=', 'reset')
    .where('staff_id', '=', staffId)
    .where('used_at', 'is', null)
    .execute();
}

export async function addStaffSession(tx: Db, row: StaffSessionRow): Promise<void> {
  await tx.insertInto('staff_session').values(row).execute();
}

export async function staffOfSession(
  db: Db,
  hash: string,
  at: string,
): Promise<Pick<StaffRow, 'id' | 'name'> | undefined> {
  return db
    .selectFrom('staff_session')
    .innerJoin('staff', 'staff.id', 'staff_session.staff_id')
    .select(['staff.id', 'staff.name'])
    .where('staff_session.hash', '=', hash)
    .where('staff_session.expires_at', '>', at)
    .executeTakeFirst();
}

export async function endStaffSession(tx: Db, hash: string): Promise<void> {
  await tx.deleteFrom('staff_session').where('hash', '=', hash).execute();
}

export async function endSessionsOfStaff(tx: Db, staffId: StaffId): Promise<void> {
  await tx.deleteFrom('staff_session').where('staff_id', '=', staffId).execute();
}

export async function endStaleStaffSessions(tx: Db, at: string): Promise<void> {
  await tx.deleteFrom('staff_session').where('expires_at', '<=', at).execute();
}
