import type { ListenerId, StudyId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { blindPlanOf } from '../blind-plan';
import { type Attendance, type Due, type Held, type Sat, sittingsDue } from '../sittings-due';
import { findMembership } from '../store/listeners';
import type { Db } from '../store/open';
import { sessionsOf } from '../store/sessions';
import { allSeatedSittings, seatedSittings } from '../store/sittings';
import { findStudy } from '../store/studies';
import type { SessionRow, SittingRow, StudyRow } from '../store/tables';

/** Who may sit when, out of the store; for the door, the seat, the phone and the desk alike. */

const satOf = ({ session_id, seated_at, ended_at }: SittingRow): Sat => ({
  session: session_id,
  seatedAt: seated_at ?? '',
  endedAt: ended_at,
});

/** Those of the sessions in which somebody sat. */
function heldOf(sessions: readonly SessionRow[], seated: readonly SittingRow[]): Held[] {
  const satIn = new Set(seated.map(({ session_id }) => session_id));
  return sessions.filter(({ id }) => satIn.has(id)).map(({ id, closed_at }) => ({ session: id, closedAt: closed_at }));
}

/** How many sessions of a study were held: opened, and sat in by somebody. */
export async function sessionsHeld(db: Db, study: StudyId): Promise<number> {
  return heldOf(await sessionsOf(db, study), await allSeatedSittings(db, study)).length;
}

/** The studies that this one goes on from, the nearest first. */
async function studiesBefore(db: Db, plan: Pick<Plan, 'follows'>): Promise<StudyId[]> {
  const found: StudyId[] = [];
  for (let follows = plan.follows; follows; ) {
    const id = follows.study as StudyId;
    const study = await findStudy(db, id);
    if (!study || study.state === 'draft' || found.includes(id)) break;
    found.push(id);
    follows = blindPlanOf(study).follows;
  }
  return found;
}

/** When this listener may sit next in this study. */
export async function dueOf(db: Db, study: StudyRow, listener: ListenerId, now: Date): Promise<Due> {
  const plan = blindPlanOf(study);
  const before: SittingRow[] = [];
  for (const id of await studiesBefore(db, plan)) before.push(...(await seatedSittings(db, id, listener)));
  const seated = await allSeatedSittings(db, study.id);
  const attendance: Attendance = {
    sessions: plan.sessions,
    had: seated.filter(({ listener_id }) => listener_id === listener).map(satOf),
    before: before.map(satOf),
    held: heldOf(await sessionsOf(db, study.id), seated),
    joinedAt: (await findMembership(db, study.id, listener))?.joined_at ?? null,
  };
  return sittingsDue(attendance, now);
}

/** The same for many, with one look at the store. */
export async function dueOfAll(
  db: Db,
  study: StudyRow,
  members: readonly { listener_id: ListenerId; joined_at: string }[],
  now: Date,
): Promise<Map<ListenerId, { due: Due; sittings: SittingRow[] }>> {
  const plan = blindPlanOf(study);
  const seated = await allSeatedSittings(db, study.id);
  const had = byListener(seated);
  const before = byListener(
    (await Promise.all((await studiesBefore(db, plan)).map((id) => allSeatedSittings(db, id)))).flat(),
  );
  const held = heldOf(await sessionsOf(db, study.id), seated);
  return new Map(
    members.map(({ listener_id, joined_at }) => {
      const sittings = had.get(listener_id) ?? [];
      const attendance: Attendance = {
        sessions: plan.sessions,
        had: sittings.map(satOf),
        before: (before.get(listener_id) ?? []).map(satOf),
        held,
        joinedAt: joined_at,
      };
      return [listener_id, { due: sittingsDue(attendance, now), sittings }];
    }),
  );
}

function byListener(sittings: readonly SittingRow[]): Map<ListenerId, SittingRow[]> {
  const found = new Map<ListenerId, SittingRow[]>();
  for (const sitting of sittings) found.set(sitting.listener_id, [...(found.get(sitting.listener_id) ?? []), sitting]);
  return found;
}
