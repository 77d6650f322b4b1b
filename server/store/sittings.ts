import type { ListenerId, SessionId, SittingId, StudyId } from '../../shared/brands';
import type { Db, SittingRow } from './tables';

export const insertSitting = (tx: Db, row: SittingRow) => tx.insertInto('sitting').values(row).execute();

/** Changes a sitting and moves its version on, so that the phone can tell the new place from the old. */
export const updateSitting = (tx: Db, id: SittingId, change: Partial<SittingRow>) =>
  tx
    .updateTable('sitting')
    .set((e) => ({ ...change, version: e('version', '+', 1) }))
    .where('id', '=', id)
    .execute();

export const bumpSittings = (tx: Db, session: SessionId) =>
  tx
    .updateTable('sitting')
    .set((e) => ({ version: e('version', '+', 1) }))
    .where('session_id', '=', session)
    .execute();

export const findSitting = (db: Db, id: SittingId): Promise<SittingRow | undefined> =>
  db.selectFrom('sitting').selectAll().where('id', '=', id).executeTakeFirst();

/**
 * The sitting that a listener's phone belongs to: one that is under way, else one whose session is open, else the
 * newest. Time decides last, since the clock of a laptop may be set back between two sessions.
 */
export const latestSitting = (db: Db, listener: ListenerId): Promise<SittingRow | undefined> =>
  db
    .selectFrom('sitting')
    .innerJoin('session', 'session.id', 'sitting.session_id')
    .selectAll('sitting')
    .where('listener_id', '=', listener)
    .orderBy((e) => e.case().when('session.state', '=', 'closed').then(1).else(0).end())
    .orderBy((e) => e.case().when('sitting.state', 'in', ['finished', 'out', 'postponed']).then(1).else(0).end())
    .orderBy('arrived_at', 'desc')
    .orderBy('id', 'desc')
    .limit(1)
    .executeTakeFirst();

export const sittingIn = (db: Db, session: SessionId, listener: ListenerId): Promise<SittingRow | undefined> =>
  db
    .selectFrom('sitting')
    .selectAll()
    .where('session_id', '=', session)
    .where('listener_id', '=', listener)
    .executeTakeFirst();

/** A listener's sittings of a study that got as far as a seat, oldest first. */
export const seatedSittings = (db: Db, study: StudyId, listener: ListenerId): Promise<SittingRow[]> =>
  db
    .selectFrom('sitting')
    .selectAll()
    .where('study_id', '=', study)
    .where('listener_id', '=', listener)
    .where('seated_at', 'is not', null)
    .orderBy('arrived_at')
    .execute();

/** All sittings of a study that got as far as a seat, oldest first. */
export const allSeatedSittings = (db: Db, study: StudyId): Promise<SittingRow[]> =>
  db
    .selectFrom('sitting')
    .selectAll()
    .where('study_id', '=', study)
    .where('seated_at', 'is not', null)
    .orderBy('arrived_at')
    .execute();

/** Everybody who came to a session, with alias and audience, in order of arrival. */
export const sittingsOf = (db: Db, session: SessionId) =>
  db
    .selectFrom('sitting')
    .innerJoin('listener', 'listener.id', 'sitting.listener_id')
    .innerJoin('membership', (join) =>
      join
        .onRef('membership.listener_id', '=', 'sitting.listener_id')
        .onRef('membership.study_id', '=', 'sitting.study_id'),
    )
    .selectAll('sitting')
    .select(['listener.alias as alias', 'membership.audience_id as audience_id', 'membership.ordinal as ordinal'])
    .where('session_id', '=', session)
    .orderBy('arrived_at')
    .orderBy('sitting.id')
    .execute();
export type SittingWithWho = Awaited<ReturnType<typeof sittingsOf>>[number];

/** Sessions that are open to a member of their study who has not come to them yet and has no sitting under way. */
export const openSessionsFor = (db: Db, listener: ListenerId) =>
  db
    .selectFrom('session')
    .innerJoin('membership', 'membership.study_id', 'session.study_id')
    .select(['session.id as id', 'session.join_code as join_code', 'session.study_id as study_id'])
    .where('membership.listener_id', '=', listener)
    .where('session.state', '!=', 'closed')
    .where((e) =>
      e.not(
        e.exists(
          e
            .selectFrom('sitting')
            .select('sitting.id')
            .whereRef('sitting.session_id', '=', 'session.id')
            .where('sitting.listener_id', '=', listener),
        ),
      ),
    )
    .execute();
