import { z } from 'zod';
import type { AudienceId, ListenerId, SittingId, StaffId } from '../../shared/brands';
import { aliasKey } from '../account/listener-identity';
import { blindPlanOf } from '../blind-plan';
import type { Command, Context } from '../command';
import { newId } from '../ids';
import { dueOf } from '../live/due';
import { refuseDesk } from '../roles/desk-listeners';
import { knowsTooMuch, refuseKnower } from '../roles/knowers';
import {
  findListener,
  findListenerByAlias,
  findListenerByToken,
  findMembership,
  insertListener,
  insertListenerToken,
  insertMembership,
  setDevice,
} from '../store/listeners';
import { currentSession } from '../store/sessions';
import { insertSitting, seatedSittings, sittingIn, updateSitting } from '../store/sittings';
import type { ListenerRow } from '../store/tables';
import { tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';
import { refuseUndue } from './not-now';

export const aliasLimit = 40;
const seenSigns = { message: 'Your alias must have a letter or digit, and no signs that can’t be seen.' };

const joining = z.strictObject({
  session: z.string().min(1).max(40),
  alias: z
    .string()
    .trim()
    .max(aliasLimit)
    // Signs that turn or hide what stands around them would do so at the desk. Joiners that some scripts need may stay.
    .refine((alias) => !/[\p{Cc}\p{Co}\p{Cn}\p{Cs}\u202a-\u202e\u2066-\u2069]/u.test(alias), seenSigns)
    .refine((alias) => alias === '' || /[\p{L}\p{N}]/u.test(aliasKey(alias)), seenSigns)
    .default(''),
  /** Its place in the plan, from 1: parts of a plan all have ids of one kind, and none of them goes to a phone. */
  audience: z.string().max(64).default(''),
  seen: z.enum(['yes', 'no']),
  /** The new personal token of a listener whom this server doesn't know yet. */
  token: z.string().min(20).max(200),
  /** The browser that joins, see device.ts: the sitting begins in it. */
  device: z.string().min(20).max(200),
  /** Who is signed in as staff in the same browser. */
  staff: z.string().max(40).nullable(),
});

/** A listener joins a study once, and comes to a session of it as often as the plan has sittings. */
export const join: Command<z.output<typeof joining>, undefined, { listener: ListenerId; isNew: boolean }> = {
  name: 'join',
  does: 'join a session',
  states: ['running'],
  who: 'listener',
  input: joining,
  labels: { alias: 'Your alias', audience: 'The group that you listen with', seen: 'Whether you know the samples' },
  async run(context, input) {
    const { tx, study } = context;
    const session = await currentSession(tx, study.id);
    if (!session || session.id !== input.session) {
      throw new Refusal('wrong-state', 'This session is closed. Ask at the desk for the next one.', {
        path: 'session',
      });
    }
    const known = await knownListener(context, input);
    if (input.seen === 'yes') throw knowsTooMuch('seen', true);
    await refuseKnower(tx, study, { listener: known?.id ?? null, alias: input.alias, staff: input.staff });
    await refuseDesk(tx, study, { listener: known?.id ?? null, alias: input.alias, staff: input.staff });
    const isNew = known === undefined || known.id !== context.actor.id;
    const listener = known?.id ?? (await becomeListener(context, input));
    // From here on it is the listener who acts, known or new.
    context.actor = { kind: 'listener', id: listener };
    const membership = (await findMembership(tx, study.id, listener)) ?? (await becomeMember(context, listener, input));
    const there = await sittingIn(tx, session.id, listener);
    // Whoever stopped before taking a seat may come back by the same door, unless it is too late for a seat.
    const comesBack = there?.state === 'out' && there.seated_at === null;
    if (there && !comesBack) return { listener, isNew };
    refuseUndue(known?.alias ?? input.alias, await dueOf(tx, study, listener, context.at));
    if (there) {
      await updateSitting(tx, there.id, { state: 'arrived', ended_at: null });
      await setDevice(tx, listener, input.device);
      await context.record('came-back', { sitting: there.id });
      context.touch(there.id);
      return { listener, isNew };
    }
    const sittings = await seatedSittings(tx, study.id, listener);
    const id = newId<SittingId>(context.at);
    await insertSitting(tx, {
      id,
      study_id: study.id,
      session_id: session.id,
      listener_id: listener,
      number: sittings.length + 1,
      state: 'arrived',
      seat: null,
      holding: null,
      holding_trial: null,
      version: 1,
      arrived_at: context.at.toISOString(),
      seated_at: null,
      ended_at: null,
    });
    await setDevice(tx, listener, input.device);
    await context.record('arrived', {
      sitting: id,
      session: session.id,
      listener,
      audience: membership.audience_id,
    });
    context.touch(id);
    return { listener, isNew };
  },
};

type Joining = z.output<typeof joining>;

/** By the cookie as it was when the form was sent, or by the token that a first try of the same form has left. */
async function knownListener({ tx, actor }: Context, input: Joining): Promise<ListenerRow | undefined> {
  const byCookie = actor.kind === 'listener' && actor.id !== '' ? await findListener(tx, actor.id) : undefined;
  return byCookie ?? (await findListenerByToken(tx, tokenHash(input.token)));
}

async function becomeListener({ tx, at }: Context, input: Joining): Promise<ListenerId> {
  const key = aliasKey(input.alias);
  if (key === '') throw new Refusal('bad-input', 'Your alias is missing. Any short name will do.', { path: 'alias' });
  if (await findListenerByAlias(tx, key)) {
    throw new Refusal(
      'conflict',
      'This alias is taken. If it is yours, open your personal link; else choose another.',
      { path: 'alias' },
    );
  }
  const listener = newId<ListenerId>(at);
  const alias = input.alias.normalize('NFC').replace(/\s+/gu, ' ');
  await insertListener(tx, { id: listener, alias, alias_key: key, created_at: at.toISOString(), device: null });
  await insertListenerToken(tx, tokenHash(input.token), listener, at.toISOString());
  return listener;
}

async function becomeMember(context: Context, listener: ListenerId, input: Joining) {
  const { tx, study, at } = context;
  const { audiences } = blindPlanOf(study);
  const audience = audiences.length === 1 ? audiences[0] : audiences.find((_, at) => String(at + 1) === input.audience);
  if (!audience) {
    throw new Refusal('bad-input', 'Choose the group that you listen with.', {
      path: 'audience',
      allowed: audiences.map((one) => one.name).join(', '),
    });
  }
  const row = {
    study_id: study.id,
    listener_id: listener,
    audience_id: audience.id as AudienceId,
    ordinal: null,
    staff_id: input.staff as StaffId | null,
    joined_at: at.toISOString(),
  };
  await insertMembership(tx, row);
  await context.record('joined', { listener, audience: row.audience_id });
  return row;
}
