import { z } from 'zod';
import { checkInOptions, consentVersion } from '../../shared/words/en';
import type { Command, Context } from '../command';
import { putCheckIn } from '../store/listeners';
import { findSession } from '../store/sessions';
import { latestSitting, updateSitting } from '../store/sittings';
import type { SittingRow } from '../store/tables';
import { Refusal } from '../web/refusal';

/** What a listener does between the door and the seat: check in, read the cautions, agree; or stop. */

/** The sitting of the listener who acts, in a session that is not closed. */
export async function ownSitting(context: Context): Promise<SittingRow> {
  const { tx, actor, study } = context;
  const sitting = actor.kind === 'listener' ? await latestSitting(tx, actor.id) : undefined;
  const session = sitting && (await findSession(tx, sitting.session_id));
  if (!sitting || sitting.study_id !== study.id || !session || session.state === 'closed') {
    throw new Refusal('wrong-state', 'Your session is closed. What you answered is kept.', { path: 'session' });
  }
  return sitting;
}

const checkingIn = z.strictObject({
  hearing: z.enum(checkInOptions.hearing),
  health: z.enum(checkInOptions.health),
});

export const checkIn: Command<z.infer<typeof checkingIn>> = {
  name: 'check-in',
  does: 'check in',
  states: ['running'],
  who: 'listener',
  input: checkingIn,
  labels: { hearing: 'Your hearing today', health: 'Your health today' },
  async run(context, { hearing, health }) {
    const sitting = await ownSitting(context);
    if (sitting.state === 'checked-in') return;
    if (sitting.state !== 'arrived') {
      throw new Refusal('wrong-place', 'You have checked in already.', { path: 'sitting', got: sitting.state });
    }
    await putCheckIn(context.tx, { sitting_id: sitting.id, hearing, health, at: context.at.toISOString() });
    await updateSitting(context.tx, sitting.id, { state: 'checked-in' });
    // The ledger can't forget; so it holds that there was a check-in, and not what was said of anybody's health.
    await context.record('checked-in', { sitting: sitting.id });
    context.touch(sitting.id);
  },
};

const consenting = z.strictObject({ agree: z.literal('yes') });

export const consent: Command<z.infer<typeof consenting>> = {
  name: 'consent',
  does: 'agree to the conditions',
  states: ['running'],
  who: 'listener',
  input: consenting,
  labels: { agree: 'Your agreement' },
  async run(context) {
    const sitting = await ownSitting(context);
    if (sitting.state === 'ready' || sitting.state === 'seated') return;
    if (sitting.state !== 'checked-in') {
      throw new Refusal('wrong-place', 'Check in first.', { path: 'sitting', got: sitting.state });
    }
    await updateSitting(context.tx, sitting.id, { state: 'ready' });
    await context.record('consented', { sitting: sitting.id, version: consentVersion });
    context.touch(sitting.id);
  },
};

const stopping = z.strictObject({});

/** At any time, without a reason. The desk may seat the listener again if both want it. */
export const stop: Command<z.infer<typeof stopping>> = {
  name: 'stop',
  does: 'stop',
  states: ['running'],
  who: 'listener',
  input: stopping,
  async run(context) {
    const sitting = await ownSitting(context);
    if (sitting.state === 'out' || sitting.state === 'finished') return;
    await updateSitting(context.tx, sitting.id, { state: 'out' });
    await context.record('stopped', { sitting: sitting.id });
    context.touch(sitting.id);
  },
};
