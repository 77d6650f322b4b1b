import { z } from 'zod';
import type { AudienceId, ListenerId, StaffId } from '../../shared/brands';
import { type PassphraseTried, tryPassphrase } from '../blinding/lock';
import { type SeatAddress, type Sheet, sheetOf } from '../blinding/serving';
import { type Command, type Context, isSingleBlind, planOf, servingOf } from '../command';
import { membersWho, sawListeners } from '../roles/clashes';
import { memberships, rememberStaff } from '../store/listeners';
import type { Db } from '../store/open';
import { currentSession, sessionsOf } from '../store/sessions';
import { seatedSittings, sittingIn, updateSitting } from '../store/sittings';
import { insertSheetOpening, updateStudy } from '../store/studies';
import type { StudyRow } from '../store/tables';
import { Refusal } from '../web/refusal';

/** Sheets can be opened for the session that is open, or else for the next. */
export async function sheetSession(db: Db, study: StudyRow): Promise<number> {
  const sessions = await sessionsOf(db, study.id);
  const open = sessions.find((session) => session.state !== 'closed');
  return open ? open.number : sessions.length + 1;
}

const opening = z.strictObject({
  session: z.coerce.number<string | number>().int().min(1).max(999),
  passphrase: z.string().min(1).max(200),
  understood: z.enum(['yes', '']).default(''),
  /** The listener whose phone this browser also is, if it is one. */
  listener: z.string().max(40).nullable(),
});

/** Shows who is to read it which unit goes into which carrier, and writes down that it was shown. */
export const openSheet: Command<z.output<typeof opening>, PassphraseTried, Sheet> = {
  name: 'open-sheet',
  does: 'open a preparation sheet',
  states: ['locked', 'running'],
  who: 'staff',
  input: opening,
  labels: { session: 'The session', passphrase: 'The passphrase', understood: 'That you understand' },
  prepare(parts, study, { passphrase }) {
    if (planOf(study).handling === 'server') {
      throw new Refusal('conflict', 'Nothing to load: the server plays renders, so there is no sheet to open.', {
        path: 'session',
        next: { label: 'To the files', url: `/studies/${study.id}/sound` },
      });
    }
    return tryPassphrase(parts.store, study.id, passphrase);
  },
  async run(context, { session, understood, listener }, { right, putKeyBack }) {
    const { tx, study, actor, at } = context;
    if (!right)
      throw new Refusal('wrong-password', 'This is not the passphrase of this study.', { path: 'passphrase' });
    const possible = await sheetSession(tx, study);
    if (session !== possible) {
      throw new Refusal('conflict', `Only the sheet of session ${possible} can be opened now.`, {
        path: 'session',
        allowed: String(possible),
        got: String(session),
      });
    }
    if (actor.kind !== 'staff') throw new Refusal('barred', 'This is not yours to do.');
    if (!isSingleBlind(study) && (await sawListeners(tx, study, actor, listener))) {
      if (understood !== 'yes') {
        throw new Refusal('bad-input', 'Say that you understand: from then on this study is single blind.', {
          path: 'understood',
        });
      }
      const reason = `${actor.name} ran the desk or sat on the panel, and then opened the preparation sheet.`;
      await updateStudy(tx, study.id, { single_blind: reason });
      await context.record('single-blind', { reason });
    }
    if (putKeyBack()) await context.record('key-put-back', {});
    const listeners = await sendAway(context, actor, listener);
    await insertSheetOpening(tx, {
      study_id: study.id,
      staff_id: actor.id as StaffId,
      session_number: session,
      at: at.toISOString(),
    });
    await context.record('sheet-opened', {
      session,
      by: actor.name,
      ...(listeners.length > 0 ? { listeners } : {}),
    });
    return sheetOf(tx, servingOf(context.parts, study), session, await addressesOf(context, session));
  },
};

/**
 * Whoever is on the panel as well has had their last sitting, and it is noted who that was: what they answer after this
 * is flagged. Where they aren't seated yet they won't be.
 */
export async function sendAway(
  { tx, study, at, record, touch }: Context,
  staff: { id: StaffId; name: string },
  here: string | null,
): Promise<ListenerId[]> {
  const own = await membersWho(tx, study, staff, here);
  const session = await currentSession(tx, study.id);
  for (const { listener, known } of own) {
    if (!known) await rememberStaff(tx, study.id, listener, staff.id);
    const sitting = session && (await sittingIn(tx, session.id, listener));
    if (!sitting || sitting.seated_at !== null || sitting.state === 'out') continue;
    await updateSitting(tx, sitting.id, { state: 'out', ended_at: at.toISOString() });
    await record('stopped', { sitting: sitting.id, why: 'knows-key' });
    touch(sitting.id);
  }
  return own.map(({ listener }) => listener);
}

/** The seats that a sheet is for: everybody planned, and walk-ins who have joined; each with their next sitting. */
export async function addressesOf(context: Pick<Context, 'tx' | 'study'>, session: number): Promise<SeatAddress[]> {
  const { tx, study } = context;
  const plan = planOf(study);
  const members = await memberships(tx, study.id);
  const sessions = await sessionsOf(tx, study.id);
  const current = sessions.find((one) => one.number === session);
  const addresses: SeatAddress[] = [];
  for (const audience of plan.audiences) {
    const joined = members.filter((member) => member.audience_id === audience.id && member.ordinal !== null).length;
    for (let ordinal = 1; ordinal <= Math.max(audience.listeners, joined); ordinal++) {
      const member = members.find((one) => one.audience_id === audience.id && one.ordinal === ordinal);
      const sittings = member ? await seatedSittings(tx, study.id, member.listener_id) : [];
      const here = sittings.find((sitting) => sitting.session_id === current?.id);
      const sitting = here ? here.number : sittings.length + 1;
      // Whoever walked in beyond the plan and isn't seated yet is drawn when seated.
      if (ordinal > audience.listeners && !here) continue;
      if (sitting <= plan.sessions.count) {
        addresses.push({ session, audience: audience.id as AudienceId, ordinal, sitting });
      }
    }
  }
  return addresses;
}
