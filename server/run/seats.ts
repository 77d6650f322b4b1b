import { z } from 'zod';
import type { AudienceId, SittingId } from '../../shared/brands';
import { judgeDose } from '../audio/dose';
import { blindPlanOf } from '../blind-plan';
import { serveSitting } from '../blinding/serving';
import { type Command, type Context, servingOf } from '../command';
import { advance, trialRow } from '../live/advance';
import { dueOf } from '../live/due';
import { freeSeat } from '../live/free-seat';
import { deskBehind } from '../roles/desk-listeners';
import { knowerBehind } from '../roles/knowers';
import { findListener, findMembership, givePlace, nextOrdinal } from '../store/listeners';
import { findSitting, seatedSittings, sittingsOf, updateSitting } from '../store/sittings';
import type { SittingRow } from '../store/tables';
import { insertTrials } from '../store/trials';
import { Refusal } from '../web/refusal';
import { weeklyDose } from '../weekly-dose';
import { openOne } from './sessions';
import { refuseUndue } from './undue';

const input = z.strictObject({ sitting: z.string().min(1).max(40) });
type Input = z.infer<typeof input>;
const labels = { sitting: 'The sitting' };

/** The sitting of the open session that a form names. @throws Refusal for any other. */
export async function sittingOf(context: Context, id: string): Promise<SittingRow> {
  const session = await openOne(context);
  const sitting = await findSitting(context.tx, id as SittingId);
  if (sitting?.session_id !== session.id) {
    throw new Refusal('not-found', 'Nobody in this session sits under that number. Reload the desk.', {
      path: 'sitting',
    });
  }
  return sitting;
}

/** Whoever knows the key, or the answers, begins no sitting, and goes on with none that was ended. */
async function refuseKnowing({ tx, study }: Context, { listener_id: listener }: SittingRow): Promise<void> {
  const comer = { listener, staff: null };
  const alias = (await findListener(tx, listener))?.alias ?? 'This listener';
  if (await deskBehind(tx, study, comer)) {
    throw new Refusal(
      'barred',
      `${alias} may not sit: it is somebody who runs the desk, and there it shows which answers are right.`,
      { path: 'sitting' },
    );
  }
  if (!(await knowerBehind(tx, study, comer))) return;
  throw new Refusal(
    'barred',
    `${alias} may not sit: it is somebody who knows the samples of this study. Turn them away.`,
    { path: 'sitting' },
  );
}

export const seat: Command<Input> = {
  name: 'seat',
  does: 'seat a listener',
  states: ['running'],
  who: 'staff',
  input,
  labels,
  async run(context, { sitting: id }) {
    const { tx, study, at } = context;
    const session = await openOne(context);
    const sitting = await sittingOf(context, id);
    if (sitting.state === 'seated') return;
    if (sitting.state !== 'ready') {
      throw new Refusal('conflict', 'This listener has not finished checking in, or has stopped. Wait for “ready”.', {
        path: 'sitting',
        allowed: 'ready',
        got: sitting.state,
      });
    }
    const membership = await findMembership(tx, study.id, sitting.listener_id);
    const listener = await findListener(tx, sitting.listener_id);
    if (!membership || !listener) throw new Error('A sitting has no member.');
    await refuseKnowing(context, sitting);
    refuseUndue(listener.alias, await dueOf(tx, study, listener.id, at), blindPlanOf(study).sessions, at);
    if (judgeDose((await weeklyDose(tx, listener.id, at)).share) === 'hold') {
      throw new Refusal(
        'too-early',
        `By the estimate ${listener.alias} has taken in all the sound that a week allows. Let them come another day, and turn them away now, so that their phone says so.`,
        { path: 'sitting' },
      );
    }
    const ordinal = membership.ordinal ?? (await nextOrdinal(tx, study.id, membership.audience_id));
    if (membership.ordinal === null) await givePlace(tx, study.id, sitting.listener_id, ordinal);
    const number = (await seatedSittings(tx, study.id, sitting.listener_id)).length + 1;
    const trials = await serveSitting(tx, servingOf(context.parts, study), {
      session: session.number,
      audience: membership.audience_id as AudienceId,
      ordinal,
      sitting: number,
    });
    const rows = trials.map((trial) => trialRow(at, sitting.id, trial, blindPlanOf(study)));
    await insertTrials(tx, rows);
    const place = freeSeat(await sittingsOf(tx, session.id));
    await updateSitting(tx, sitting.id, { state: 'seated', seat: place, number, seated_at: at.toISOString() });
    await context.record('seated', {
      sitting: sitting.id,
      session: session.id,
      sessionNumber: session.number,
      listener: sitting.listener_id,
      audience: membership.audience_id,
      ordinal,
      number,
      seat: place,
      trials: rows.map((row, index) => ({
        trial: row.id,
        ordinal: row.ordinal,
        practice: row.practice === 1,
        codes: trials[index]?.codes,
        shown: trials[index]?.shown,
      })),
    });
    await advance(context, sitting.id);
    context.touch(sitting.id);
  },
};

export const seatOut: Command<Input> = {
  name: 'seat-out',
  does: 'take a seat out',
  states: ['running'],
  who: 'staff',
  input,
  labels,
  async run(context, { sitting: id }) {
    const sitting = await sittingOf(context, id);
    if (sitting.state === 'out') return;
    if (sitting.state === 'finished') {
      throw new Refusal('conflict', 'This listener has finished already.', { path: 'sitting', got: 'finished' });
    }
    if (sitting.state === 'postponed') {
      throw new Refusal('conflict', 'This listener was put off at check-in and is not at a seat.', {
        path: 'sitting',
        got: 'postponed',
      });
    }
    await updateSitting(context.tx, sitting.id, { state: 'out', ended_at: context.at.toISOString() });
    await context.record('seat-out', { sitting: sitting.id, seat: sitting.seat });
    context.touch(sitting.id);
  },
};

export const seatAgain: Command<Input> = {
  name: 'seat-again',
  does: 'seat a listener again',
  states: ['running'],
  who: 'staff',
  input,
  labels,
  async run(context, { sitting: id }) {
    const { tx } = context;
    const session = await openOne(context);
    const sitting = await sittingOf(context, id);
    if (sitting.state === 'seated') return;
    if (sitting.state !== 'out') {
      throw new Refusal('conflict', 'Only a seat that was taken out can come back.', {
        path: 'sitting',
        got: sitting.state,
      });
    }
    await refuseKnowing(context, sitting);
    if (sitting.seated_at === null) {
      await updateSitting(tx, sitting.id, { state: 'arrived', ended_at: null });
    } else {
      const others = (await sittingsOf(tx, session.id)).filter((other) => other.id !== sitting.id);
      const place = freeSeat(others, sitting.seat ?? 1);
      await updateSitting(tx, sitting.id, { state: 'seated', seat: place, ended_at: null });
    }
    await context.record('seat-again', { sitting: sitting.id });
    // Its last answer may have come in meanwhile, from a phone that had no line.
    if (sitting.seated_at !== null) await advance(context, sitting.id);
    context.touch(sitting.id);
  },
};

/** A listener who was put off may say anew how they are, after a rest or a slip of the finger. Why is not asked. */
export const checkInAgain: Command<Input> = {
  name: 'check-in-again',
  does: 'let a listener check in again',
  states: ['running'],
  who: 'staff',
  input,
  labels,
  async run(context, { sitting: id }) {
    const sitting = await sittingOf(context, id);
    if (sitting.state === 'arrived') return;
    if (sitting.state !== 'postponed') {
      throw new Refusal('conflict', 'Only a listener who was put off at check-in can check in again.', {
        path: 'sitting',
        allowed: 'postponed',
        got: sitting.state,
      });
    }
    await updateSitting(context.tx, sitting.id, { state: 'arrived' });
    await context.record('check-in-again', { sitting: sitting.id });
    context.touch(sitting.id);
  },
};
