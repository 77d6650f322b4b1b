import { z } from 'zod';
import type { AudienceId, Code, ListenerId, StaffId } from '../../shared/brands';
import { entriesOf, versionOfSession } from '../blinding/amendments';
import { ledgerBodies } from '../blinding/ledger';
import { type Revealing, tryReveal } from '../blinding/reveal';
import { type Command, type Context, codesStay, isSingleBlind, planOf } from '../command';
import { sawListeners } from '../roles/clashes';
import { insertKeyLook } from '../store/key-looks';
import { findMembership, memberships } from '../store/listeners';
import type { Db } from '../store/open';
import { sessionsOf } from '../store/sessions';
import { sittingIn, sittingsOf } from '../store/sittings';
import { updateStudy } from '../store/studies';
import type { SessionRow, StudyRow } from '../store/tables';
import { tellsSample, tellsSampleWords } from '../tells-sample';
import { Refusal } from '../web/refusal';
import { sendAway } from './commands';

const revealing = z.strictObject({
  session: z.coerce.number<string | number>().int().min(1).max(999),
  code: z.string().trim().min(1).max(12),
  /** Whose sample it was; only where a carrier is everybody's for the day. */
  listener: z.string().max(40).default(''),
  reason: z.string().trim().min(3).max(500),
  passphrase: z.string().min(1).max(200),
  understood: z.enum(['yes', '']).default(''),
  /** The listener whose phone this browser also is, if it is one. */
  here: z.string().max(40).nullable(),
});

export interface Revealed {
  session: number;
  code: string;
  prototype: string;
  serial: string;
  note: string;
  /** It goes on to say what a carrier holds: all day, or until it is handed over. */
  stays: boolean;
}

/** The session that is open, or else the last; before the first, the one that carriers may be loaded for already. */
export const revealSession = async (db: Db, study: StudyRow): Promise<number> =>
  Math.max(1, (await sessionsOf(db, study.id)).length);

/**
 * Somebody was hurt: one code is opened, for the person who asks, and nothing else. The ledger has who, when, which
 * code and why, and not what it was, so that the study stays blind for everybody else.
 */
export const revealCode: Command<z.output<typeof revealing>, Revealing, Revealed> = {
  name: 'reveal',
  does: 'reveal a code',
  states: ['locked', 'running', 'closed'],
  who: 'staff',
  input: revealing,
  labels: {
    session: 'The session',
    code: 'The code',
    listener: 'The listener',
    reason: 'What happened',
    passphrase: 'The passphrase',
    understood: 'That you understand',
  },
  prepare: (parts, study, { passphrase }) => tryReveal(parts.store, study.id, passphrase),
  async run(context, { session, code: typed, listener: named, reason, understood, here }, { right, look }) {
    const { tx, study, actor, at } = context;
    if (actor.kind !== 'staff') throw new Refusal('barred', 'This is not yours to do.');
    if (!right) {
      throw new Refusal('wrong-password', 'This is not the passphrase of this study.', { path: 'passphrase' });
    }
    if (tellsSample(planOf(study), reason)) throw new Refusal('bad-input', tellsSampleWords, { path: 'reason' });
    const last = await revealSession(tx, study);
    if (session > last) {
      const message =
        last === 1
          ? 'Only codes of session 1 can be revealed.'
          : `Only codes of sessions 1 to ${last} can be revealed.`;
      throw new Refusal('bad-input', message, { path: 'session', allowed: `1 to ${last}`, got: String(session) });
    }
    const code = typed.replace(/\s/g, '') as Code;
    const version = versionOfSession(
      await entriesOf(tx, study.id, ['plan-locked', 'amended', 'session-opened']),
      session,
    );
    const found = await look(tx, version, session, code);
    if (!found) {
      const message = `No carrier of session ${session} bears the code ${/^\d{3}$/.test(code) ? code : 'that was typed'}. Read it once more.`;
      throw new Refusal('bad-input', message, { path: 'code' });
    }
    const listener = found.place ? await listenerAt(context, found.place) : await memberOf(context, named);
    const held = (await sessionsOf(tx, study.id)).find(({ number }) => number === session);
    const ahead = !codesStay(study) && (await isAhead(context, held, code));
    await understand(context, understood, here, ahead);
    const listeners = await sendAway(context, actor, here);
    await insertKeyLook(tx, {
      study_id: study.id,
      staff_id: actor.id as StaffId,
      what: ahead ? 'code-ahead' : 'code',
      at: at.toISOString(),
    });
    const sitting = listener && held ? ((await sittingIn(tx, held.id, listener))?.id ?? null) : null;
    await context.record('revealed', {
      session,
      code,
      listener,
      sitting,
      reason,
      // Of those who looked, the ones that sit on the panel themselves.
      ...(listeners.length > 0 ? { listeners } : {}),
    });
    const { prototype, serial, note } = found;
    return { session, code, prototype, serial, note, stays: codesStay(study) || ahead };
  },
};

/** A fresh carrier that somebody is still to have: its code isn't spent. */
async function isAhead({ tx, study }: Context, held: SessionRow | undefined, code: Code): Promise<boolean> {
  if (held?.state === 'closed') return false;
  const there = new Set((held ? await sittingsOf(tx, held.id) : []).map(({ id }) => id as string));
  const given = await ledgerBodies(tx, study.id, ['handed-over']);
  return !given.some(({ body }) => body.code === code && there.has(String(body.sitting)));
}

/** Who has that place; null while nobody has. */
async function listenerAt(
  { tx, study }: Context,
  { audience, ordinal }: { audience: AudienceId; ordinal: number },
): Promise<ListenerId | null> {
  const members = await memberships(tx, study.id);
  return members.find((one) => one.audience_id === audience && one.ordinal === ordinal)?.listener_id ?? null;
}

/** Before anybody has joined, whoever was hurt is no listener yet. */
async function memberOf({ tx, study }: Context, named: string): Promise<ListenerId | null> {
  if (named === '' && (await memberships(tx, study.id)).length === 0) return null;
  if (named !== '' && (await findMembership(tx, study.id, named as ListenerId))) return named as ListenerId;
  throw new Refusal('bad-input', 'Choose the listener whom it happened to.', { path: 'listener' });
}

/**
 * A code that stays on its carrier goes on to say what it holds: to know one is to know the sheet. So does one of a fresh
 * carrier that is still to be handed over. After closing nobody sits who could be told.
 */
async function understand(context: Context, understood: string, here: string | null, ahead: boolean): Promise<void> {
  const { tx, study, actor } = context;
  if (actor.kind !== 'staff' || study.state === 'closed' || isSingleBlind(study)) return;
  if (!ahead && !codesStay(study)) return;
  if (!(await sawListeners(tx, study, actor, here))) return;
  if (understood !== 'yes') {
    throw new Refusal('bad-input', 'Say that you understand: from then on this study is single blind.', {
      path: 'understood',
    });
  }
  const which = ahead ? 'a code revealed that was still to be handed over' : 'a code of the day revealed';
  const reason = `${actor.name} ran the desk or sat on the panel, and then had ${which}.`;
  await updateStudy(tx, study.id, { single_blind: reason });
  await context.record('single-blind', { reason });
}
