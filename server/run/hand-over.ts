import { z } from 'zod';
import { mayRepeat } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import type { Code, TrialId } from '../../shared/brands';
import { blindPlanOf } from '../blind-plan';
import { seatsHeldUp } from '../blinding/serving';
import { type Command, type Context, servingOf } from '../command';
import { codeNow, currentTrial } from '../live/advance';
import { sittingsOf, updateSitting } from '../store/sittings';
import type { SittingRow, TrialRow } from '../store/tables';
import { findTrial, trialsOf, updateTrial } from '../store/trials';
import { Refusal } from '../web/refusal';
import { sittingOf } from './seats';
import { openOne } from './sessions';

const code = z.string().regex(/^\d{3}$/, 'a code of three digits');
const giving = z.strictObject({
  sitting: z.string().min(1).max(40),
  give: code,
  /** Left out or empty: no sample is out at that seat. */
  takeBack: z
    .union([code, z.literal('')])
    .nullish()
    .transform((back) => back || null),
});

/** One tap for what the hands do: take back the sample that was heard, give the next. */
export const handOver: Command<z.output<typeof giving>> = {
  name: 'hand-over',
  does: 'hand over a sample',
  states: ['running'],
  who: 'staff',
  input: giving,
  labels: { sitting: 'The sitting', give: 'The code to give', takeBack: 'The code to take back' },
  async run(context, { sitting: id, give, takeBack }) {
    const { tx, study } = context;
    const session = await openOne(context);
    const sitting = await sittingOf(context, id);
    const trial = currentTrial(await trialsOf(tx, sitting.id));
    // The second of two taps finds the sample already there.
    const grades = methodOf(blindPlanOf(study)).form.kind === 'grades';
    if (trial && beforeHeard(trial, grades) && sitting.holding === give && sitting.holding_trial === trial.id) {
      return;
    }
    if (session.state === 'paused') {
      throw new Refusal('wrong-state', 'The session is paused. Go on with it first.', { path: 'session' });
    }
    if (sitting.state !== 'seated' || trial?.step !== 'waiting') {
      throw new Refusal('wrong-place', 'This seat doesn’t wait for a sample now. Reload the desk.', {
        path: 'sitting',
      });
    }
    const wanted = codeNow(trial);
    if (give !== wanted) {
      throw new Refusal('wrong-place', `This seat waits for ${wanted}, not for ${give}. Nothing was noted.`, {
        path: 'give',
        allowed: wanted,
        got: give,
      });
    }
    if (takeBack !== sitting.holding) {
      throw new Refusal(
        'wrong-place',
        sitting.holding === null
          ? 'No sample is out at this seat, so none can be taken back.'
          : `${sitting.holding} is out at this seat. Take it back first.`,
        { path: 'takeBack', allowed: sitting.holding ?? 'none', got: takeBack ?? 'none' },
      );
    }
    if (sitting.holding !== null && sitting.holding_trial !== trial.id) {
      throw new Refusal('wrong-place', `Take back ${sitting.holding} first; then comes the next trial.`, {
        path: 'takeBack',
      });
    }
    const { form } = methodOf(blindPlanOf(study));
    if (sitting.holding !== null && mayRepeat(form, trial.presentation - 1)) {
      throw new Refusal(
        'wrong-place',
        `Take back ${sitting.holding} first; then give ${wanted}, in a hand of its own.`,
        {
          path: 'takeBack',
          allowed: 'none',
          got: sitting.holding,
        },
      );
    }
    const out = (await sittingsOf(tx, session.id)).flatMap((other) =>
      other.holding ? [{ sitting: other.id, code: other.holding }] : [],
    );
    const wish = [{ sitting: sitting.id, code: wanted }];
    const heldUp = await seatsHeldUp(tx, servingOf(context.parts, study), session.number, wish, out);
    if (heldUp.has(sitting.id)) {
      throw new Refusal('conflict', `The sample of ${wanted} is still out at another seat. This seat waits.`, {
        path: 'give',
      });
    }
    if (takeBack !== null) await noteReturn(context, sitting, takeBack);
    // First impressions begin with a rest; the sample stays in its carrier meanwhile.
    await updateTrial(tx, trial.id, { step: form.kind === 'scales' ? 'resetting' : 'fitting', retries: 0 });
    await updateSitting(tx, sitting.id, { holding: give as Code, holding_trial: trial.id });
    await context.record('handed-over', {
      sitting: sitting.id,
      trial: trial.id,
      presentation: trial.presentation,
      code: give,
    });
    context.touch(sitting.id);
  },
};

/** A sample is at the seat, and not heard to its end. What is graded is heard meanwhile. */
const beforeHeard = ({ step }: TrialRow, grades: boolean): boolean =>
  ['resetting', 'fitting', 'starting', 'listening'].includes(step) || (grades && step === 'rating');

const returning = z.strictObject({ sitting: z.string().min(1).max(40), code });

export const takeBack: Command<z.infer<typeof returning>> = {
  name: 'take-back',
  does: 'take back a sample',
  states: ['running'],
  who: 'staff',
  input: returning,
  labels: { sitting: 'The sitting', code: 'The code' },
  async run(context, { sitting: id, code: back }) {
    const { tx } = context;
    const sitting = await sittingOf(context, id);
    if (sitting.holding === null) return;
    if (sitting.holding !== back) {
      throw new Refusal('wrong-place', `${sitting.holding} is out at this seat, not ${back}. Nothing was noted.`, {
        path: 'code',
        allowed: sitting.holding,
        got: back,
      });
    }
    const trial = sitting.holding_trial && (await findTrial(tx, sitting.holding_trial as TrialId));
    const grades = methodOf(blindPlanOf(context.study)).form.kind === 'grades';
    if (trial && trial.step === 'rating' && !grades && sitting.state === 'seated') {
      throw new Refusal('wrong-place', `${back} is being rated. Take it back when the answer is in.`, { path: 'code' });
    }
    await noteReturn(context, sitting, back);
    // Taken away before it was heard: the seat waits for it again.
    if (trial && beforeHeard(trial, grades)) {
      await updateTrial(tx, trial.id, { step: 'waiting', waiting_since: context.at.toISOString() });
    }
    await updateSitting(tx, sitting.id, { holding: null, holding_trial: null });
    context.touch(sitting.id);
  },
};

async function noteReturn(context: Context, sitting: SittingRow, back: string): Promise<void> {
  await context.record('taken-back', { sitting: sitting.id, trial: sitting.holding_trial, code: back });
}
