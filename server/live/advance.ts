import { methodOf } from '../../protocols/index';
import type { TrialPast } from '../../protocols/protocol';
import type { AudienceId, Code, SittingId, TrialId } from '../../shared/brands';
import { type BlindPlan, blindPlanOf } from '../blind-plan';
import { NoCodesLeft } from '../blinding/draw';
import { type BlindTrial, serveNext } from '../blinding/serving';
import { type Context, servingOf } from '../command';
import { newId } from '../ids';
import { findMembership } from '../store/listeners';
import { findSession } from '../store/sessions';
import { findSitting, sittingsOf, updateSitting } from '../store/sittings';
import type { SittingRow, TrialRow } from '../store/tables';
import { insertTrials, trialsOf, updateTrial } from '../store/trials';
import { freeSeat } from './free-seat';

/** How a sitting moves from trial to trial; shared by the phone's acts and the desk's repairs. */

const over: readonly TrialRow['step'][] = ['done', 'void', 'lost'];

/** The trial that a seat is at, or undefined when all are over. Trials in order of ordinal. */
export const currentTrial = (trials: readonly TrialRow[]): TrialRow | undefined =>
  trials.find((trial) => !over.includes(trial.step));

export const codesOf = (trial: TrialRow): Code[] => JSON.parse(trial.codes) as Code[];

export const codeNow = (trial: TrialRow): Code => codesOf(trial)[trial.presentation - 1] as Code;

/** Where a trial begins: at a wait for its carrier, or, where the server plays renders, at the sound itself. */
function firstStep(plan: BlindPlan, trial: BlindTrial): TrialRow['step'] {
  // Practice on the page alone needs no sample.
  if (trial.codes.length === 0) return 'rating';
  if (plan.handling !== 'server') return 'waiting';
  const { form } = methodOf(plan);
  if (form.kind === 'scales') return 'resetting';
  // What is learnt comes by itself, before what is asked about.
  return form.kind === 'yes-no' && form.learning > 0 && trial.practice ? 'listening' : 'comparing';
}

export function trialRow(at: Date, sitting: SittingId, trial: BlindTrial, plan: BlindPlan): TrialRow {
  return {
    id: newId<TrialId>(at),
    sitting_id: sitting,
    ordinal: trial.ordinal,
    practice: trial.practice ? 1 : 0,
    codes: JSON.stringify(trial.codes),
    shown: JSON.stringify(trial.shown),
    step: firstStep(plan, trial),
    presentation: 1,
    retries: 0,
    replaces: trial.replaces,
    waiting_since: null,
    answer: null,
  };
}

/** After a trial is over: wait for the next, put again what was spoilt, or finish the sitting. */
export async function advance(context: Context, id: SittingId): Promise<void> {
  const { tx, at } = context;
  const sitting = (await findSitting(tx, id)) as SittingRow;
  const trials = await trialsOf(tx, id);
  const now = currentTrial(trials);
  if (now) {
    // A rest counts from here on, where nothing is handed over.
    if ((now.step === 'waiting' || now.step === 'resetting') && now.waiting_since === null) {
      await updateTrial(tx, now.id, { waiting_since: at.toISOString() });
    }
    if (sitting.state === 'finished') {
      // Somebody else may have the seat by now.
      const others = (await sittingsOf(tx, sitting.session_id)).filter((other) => other.id !== id);
      const seat = freeSeat(others, sitting.seat ?? 1);
      await updateSitting(tx, id, { state: 'seated', seat, ended_at: null });
      await context.record('seat-again', { sitting: id, seat });
    }
    return;
  }
  const again = await putAgain(context, sitting, trials);
  if (again) return advance(context, id);
  if (sitting.state !== 'seated') return;
  await updateSitting(tx, id, { state: 'finished', ended_at: at.toISOString() });
  await context.record('sitting-finished', { sitting: id });
}

/** What is spoilt stays so, and the sitting goes on to its end, when the session has no codes to put it again. */
async function spoiltForGood(context: Context, sitting: SittingRow, error: unknown): Promise<null> {
  if (!(error instanceof NoCodesLeft)) throw error;
  await context.record('no-codes-left', { sitting: sitting.id });
  return null;
}

async function putAgain(context: Context, sitting: SittingRow, trials: readonly TrialRow[]): Promise<boolean> {
  const { tx, study } = context;
  const session = await findSession(tx, sitting.session_id);
  const membership = await findMembership(tx, study.id, sitting.listener_id);
  if (!session || !membership || membership.ordinal === null) {
    throw new Error('A sitting under way has no session, no member or no place.');
  }
  const next = await serveNext(
    tx,
    servingOf(context.parts, study),
    {
      session: session.number,
      audience: membership.audience_id as AudienceId,
      ordinal: membership.ordinal,
      sitting: sitting.number,
    },
    trials.map(pastState),
  ).catch((error: unknown) => spoiltForGood(context, sitting, error));
  if (!next) return false;
  const row = trialRow(context.at, sitting.id, next, blindPlanOf(study));
  await insertTrials(tx, [row]);
  await context.record('trial-added', {
    trial: row.id,
    sitting: sitting.id,
    ordinal: next.ordinal,
    replaces: next.replaces,
    codes: next.codes,
    shown: next.shown,
  });
  return true;
}

const pastState = (trial: TrialRow): TrialPast['state'] =>
  trial.step === 'done' ? 'answered' : trial.step === 'void' ? 'void' : trial.step === 'lost' ? 'lost' : 'open';
