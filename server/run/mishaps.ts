import { z } from 'zod';
import type { Form } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import type { TrialId } from '../../shared/brands';
import { incidentCategories, voidReasons } from '../../shared/wire/desk';
import { blindPlanOf } from '../blind-plan';
import type { Command } from '../command';
import { advance, codesOf } from '../live/advance';
import { findSitting, sittingsOf, updateSitting } from '../store/sittings';
import { updateStudy } from '../store/studies';
import { findTrial, trialsOf, updateTrial } from '../store/trials';
import { refuseTelling } from '../tells-sample';
import { Refusal } from '../web/refusal';
import { touchedTrial } from './desk-hands';
import { openOne } from './sessions';

const text = z.string().trim().max(300);

const voiding = z.strictObject({
  trial: z.string().min(1).max(40),
  reason: z.enum(voidReasons),
  text: text.default(''),
});

/** What is asked later hangs on what is learnt now, so that it can't come at the end. */
const learns = (form: Form): boolean => form.kind === 'yes-no' && form.learning > 0;
const fromTheBeginning = { presentation: 1, retries: 0, waiting_since: null, answer: null };

/**
 * A mix-up: the trial is counted as void, never analysed, and put again at the end of the sitting. Practice isn't put
 * again, unless something is learnt in it.
 */
export const voidTrial: Command<z.infer<typeof voiding>> = {
  name: 'void',
  does: 'void a trial',
  states: ['running'],
  who: 'staff',
  input: voiding,
  labels: { trial: 'The trial', reason: 'The reason', text: 'The note' },
  async run(context, { trial: id, reason, text }) {
    const { tx } = context;
    const session = await openOne(context);
    const trial = await findTrial(tx, id as TrialId);
    const sitting = trial && (await findSitting(tx, trial.sitting_id));
    if (!trial || sitting?.session_id !== session.id) {
      throw new Refusal('not-found', 'There is no such trial in this session. Reload the desk.', { path: 'trial' });
    }
    if (trial.step === 'void') return;
    refuseTelling(context.study, 'text', text);
    if (codesOf(trial).length === 0) {
      throw new Refusal('wrong-place', 'Practice without a sample has nothing to mix up.', { path: 'trial' });
    }
    if (trial.step === 'waiting' && trial.presentation === 1 && sitting.holding_trial !== trial.id) {
      throw new Refusal('wrong-place', 'This trial has not begun, so there is nothing to void.', { path: 'trial' });
    }
    const about = { trial: trial.id, sitting: sitting.id, step: trial.step, reason, text };
    const plan = blindPlanOf(context.study);
    if (trial.practice === 1 && learns(methodOf(plan).form)) {
      if (touchedTrial({ sitting, trials: await trialsOf(tx, sitting.id) })?.id !== trial.id) {
        throw new Refusal(
          'wrong-place',
          'What was learnt here has been asked about since, so it can’t be learnt anew in this sitting. Void the trial under way, or end the sitting and note what happened.',
          { path: 'trial' },
        );
      }
      // Whatever is out comes back first, and all that is learnt comes again from the beginning.
      await updateTrial(tx, trial.id, {
        ...fromTheBeginning,
        step: plan.handling === 'server' ? 'listening' : 'waiting',
      });
      await context.record('trial-voided', { ...about, again: true });
      await updateSitting(tx, sitting.id, { holding_trial: null });
    } else {
      await updateTrial(tx, trial.id, { step: 'void' });
      await context.record('trial-voided', about);
      await updateSitting(tx, sitting.id, {});
    }
    await advance(context, sitting.id);
    context.touch(sitting.id);
  },
};

const incident = z.strictObject({
  category: z.enum(incidentCategories),
  text: text.default(''),
  /** The seat it concerns; empty when it concerns the room. */
  seat: z
    .union([z.literal(''), z.coerce.number<string | number>().int().min(1).max(999)])
    .default('')
    .transform((seat) => (seat === '' ? null : seat)),
});

export const noteIncident: Command<z.infer<typeof incident>> = {
  name: 'incident',
  does: 'note an incident',
  states: ['running'],
  who: 'staff',
  input: incident,
  labels: { category: 'The kind of incident', text: 'The note', seat: 'The seat' },
  async run(context, { category, text, seat }) {
    const session = await openOne(context);
    refuseTelling(context.study, 'text', text);
    // A seat that was given up may have been given again: then whoever sits there now is meant.
    const there = (await sittingsOf(context.tx, session.id)).filter((one) => seat !== null && one.seat === seat);
    const sitting = there.find((one) => one.state === 'seated') ?? there.at(-1);
    if (seat !== null && !sitting) {
      throw new Refusal('not-found', `Nobody has seat ${seat} in this session.`, { path: 'seat', got: String(seat) });
    }
    await context.record('incident', { session: session.id, category, text, sitting: sitting?.id ?? null, seat });
  },
};

const admitting = z.strictObject({ reason: z.string().trim().min(3).max(300) });

/** Going on although somebody knows the key: allowed, and said on the first line of every report. */
export const goSingleBlind: Command<z.infer<typeof admitting>> = {
  name: 'single-blind',
  does: 'go on as single blind',
  states: ['locked', 'running'],
  who: 'staff',
  input: admitting,
  labels: { reason: 'The reason' },
  async run(context, { reason }) {
    const { tx, study } = context;
    if (study.single_blind !== null) return;
    refuseTelling(study, 'reason', reason);
    await updateStudy(tx, study.id, { single_blind: reason });
    await context.record('single-blind', { reason });
  },
};
