import { sql } from 'kysely';
import type { AudienceId, ListenerId, StaffId, StudyId } from '../../shared/brands';
import type { Db, ListenerRow, MembershipRow, StateRow, StudyRow } from './tables';

export const insertListener = (tx: Db, row: ListenerRow) => tx.insertInto('listener').values(row).execute();

export const findListener = (db: Db, id: ListenerId): Promise<ListenerRow | undefined> =>
  db.selectFrom('listener').selectAll().where('id', '=', id).executeTakeFirst();

export const findListenerByAlias = (db: Db, aliasKey: string): Promise<ListenerRow | undefined> =>
  db.selectFrom('listener').selectAll().where('alias_key', '=', aliasKey).executeTakeFirst();

/** Everybody whom this server knows, by alias. */
export const allListeners = (db: Db): Promise<ListenerRow[]> =>
  db.selectFrom('listener').selectAll().orderBy('alias_key').execute();

export const insertListenerToken = (tx: Db, hash: string, listener: ListenerId, at: string) =>
  tx.insertInto('listener_token').values({ hash, listener_id: listener, created_at: at, ended_at: null }).execute();

/** Every link of a listener ends. They stay known, so that none is given out as new. */
export const endListenerTokens = (tx: Db, listener: ListenerId, at: string) =>
  tx
    .updateTable('listener_token')
    .set({ ended_at: at })
    .where('listener_id', '=', listener)
    .where('ended_at', 'is', null)
    .execute();

export const newestListenerToken = (tx: Db, listener: ListenerId): Promise<{ hash: string } | undefined> =>
  tx
    .selectFrom('listener_token')
    .select('hash')
    .where('listener_id', '=', listener)
    .orderBy('created_at', 'desc')
    .orderBy(sql`rowid`, 'desc')
    .executeTakeFirst();

/** Whether a link was ended, after a loss. */
export async function hasEnded(db: Db, hash: string): Promise<boolean> {
  const row = await db.selectFrom('listener_token').select('ended_at').where('hash', '=', hash).executeTakeFirst();
  return row !== undefined && row.ended_at !== null;
}

export const findListenerByToken = (db: Db, hash: string): Promise<ListenerRow | undefined> =>
  db
    .selectFrom('listener_token')
    .innerJoin('listener', 'listener.id', 'listener_token.listener_id')
    .selectAll('listener')
    .where('hash', '=', hash)
    .where('ended_at', 'is', null)
    .executeTakeFirst();

export const insertMembership = (tx: Db, row: MembershipRow) => tx.insertInto('membership').values(row).execute();

export const findMembership = (db: Db, study: StudyId, listener: ListenerId): Promise<MembershipRow | undefined> =>
  db
    .selectFrom('membership')
    .selectAll()
    .where('study_id', '=', study)
    .where('listener_id', '=', listener)
    .executeTakeFirst();

export const memberships = (db: Db, study: StudyId) =>
  db
    .selectFrom('membership')
    .innerJoin('listener', 'listener.id', 'membership.listener_id')
    .select(['listener.id as listener_id', 'alias', 'alias_key', 'audience_id', 'ordinal', 'staff_id', 'joined_at'])
    .where('study_id', '=', study)
    .orderBy('joined_at')
    .execute();

/** Studies that a listener joined, the newest first. */
export const studiesOf = (db: Db, listener: ListenerId): Promise<StudyRow[]> =>
  db
    .selectFrom('study')
    .innerJoin('membership', 'membership.study_id', 'study.id')
    .selectAll('study')
    .where('listener_id', '=', listener)
    .orderBy('joined_at', 'desc')
    .execute();

export const givePlace = (tx: Db, study: StudyId, listener: ListenerId, ordinal: number) =>
  tx
    .updateTable('membership')
    .set({ ordinal })
    .where('study_id', '=', study)
    .where('listener_id', '=', listener)
    .execute();

/** That this listener turned out to be one of the staff. */
export const rememberStaff = (tx: Db, study: StudyId, listener: ListenerId, staff: StaffId) =>
  tx
    .updateTable('membership')
    .set({ staff_id: staff })
    .where('study_id', '=', study)
    .where('listener_id', '=', listener)
    .execute();

/** The next place of an audience, in the order in which its listeners take a seat. */
export const nextOrdinal = async (db: Db, study: StudyId, audience: AudienceId): Promise<number> => {
  const { last } = await db
    .selectFrom('membership')
    .select((e) => e.fn.max('ordinal').as('last'))
    .where('study_id', '=', study)
    .where('audience_id', '=', audience)
    .executeTakeFirstOrThrow();
  return Number(last ?? 0) + 1;
};

export const putState = (tx: Db, row: StateRow) =>
  tx
    .insertInto('state')
    .values(row)
    .onConflict((c) => c.column('sitting_id').doUpdateSet({ conditions: row.conditions, at: row.at }))
    .execute();

export const setDevice = (tx: Db, listener: ListenerId, device: string | null) =>
  tx.updateTable('listener').set({ device }).where('id', '=', listener).execute();
