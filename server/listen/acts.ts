import { methodOf } from '../../protocols/index';
import type { ActId, TrialId } from '../../shared/brands';
import { type Act, actSchema } from '../../shared/wire';
import { blindPlanOf } from '../blind-plan';
import { canonicalJson } from '../blinding/canonical-json';
import type { Command, Context } from '../command';
import { advance, codesOf, currentTrial } from '../live/advance';
import { findSession } from '../store/sessions';
import { findSitting, updateSitting } from '../store/sittings';
import type { SittingRow, TrialRow } from '../store/tables';
import { findAct, findTrial, insertAct, trialsOf, updateTrial } from '../store/trials';
import { Refusal } from '../web/refusal';
import { askingStep } from './asking-steps';
import { gradesStep } from './grades-steps';
import { scalesStep } from './scales-steps';
import { interruptedStep } from './sound-steps';
import { away, type Step } from './steps';

export const actLabels = {
  answer: 'The answer',
  trial: 'The trial',
  words: 'The words',
  presentation: 'The number of the sample',
  grades: 'The grades',
  'grades.*.place': 'The place of grade *',
  'grades.*.scale': 'The scale of grade *',
  'grades.*.value': 'The value of grade *',
  ticks: 'The words that were ticked',
  'ticks.*.place': 'The place of ticked words *',
  'ticks.*.attributes': 'The ticked words *',
  ratings: 'The ratings',
  'ratings.*.scale': 'The scale of rating *',
  'ratings.*.value': 'The value of rating *',
  'sound.heardMs': 'The time that each sample sounded',
  what: 'What interrupted the sound',
};

/** What a phone does inside a trial. In one order: known id, right place, store, ledger; and then the next place. */
export const act: Command<Act, undefined, { repeated: boolean }> = {
  name: 'act',
  does: 'answer',
  states: ['running'],
  who: 'listener',
  input: actSchema,
  labels: actLabels,
  async run(context, input) {
    const { tx, at } = context;
    const { trial, sitting } = await placeOf(context, input);
    const before = await findAct(tx, input.id as ActId);
    if (before) {
      if (before.sitting_id === sitting.id && before.body === canonicalJson(input)) return { repeated: true };
      throw new Refusal('repeated-id', 'Something else was sent under this id. Reload the page.', { path: 'id' });
    }
    const session = await findSession(tx, sitting.session_id);
    if (!session || session.state === 'closed') {
      throw new Refusal('wrong-state', 'Your session is closed. What you answered before is kept.', { path: 'trial' });
    }
    const step = await stepAfter(context, input, trial, sitting);
    await insertAct(tx, {
      id: input.id as ActId,
      sitting_id: sitting.id,
      trial_id: trial.id,
      kind: input.kind,
      body: canonicalJson(input),
      at: at.toISOString(),
    });
    await updateTrial(tx, trial.id, step.change);
    await updateSitting(tx, sitting.id, {});
    await context.record(step.kind, {
      trial: trial.id,
      sitting: sitting.id,
      act: input.id,
      times: input.times,
      ...step.body,
    });
    if (step.voids) {
      const about = { trial: trial.id, sitting: sitting.id, step: trial.step, reason: 'disturbed', text: '' };
      await context.record('trial-voided', about);
    }
    if (step.change.step === 'done' || step.voids) await advance(context, sitting.id);
    context.touch(sitting.id);
    return { repeated: false };
  },
};

/** The trial of an act, if it is one of this listener's own. @throws Refusal when it isn't */
export async function placeOf(context: Context, input: Act): Promise<{ trial: TrialRow; sitting: SittingRow }> {
  const { tx, actor, study } = context;
  const trial = await findTrial(tx, input.trial as TrialId);
  const sitting = trial && (await findSitting(tx, trial.sitting_id));
  if (
    !trial ||
    !sitting ||
    actor.kind !== 'listener' ||
    sitting.listener_id !== actor.id ||
    sitting.study_id !== study.id
  ) {
    throw new Refusal('not-found', 'There is no such trial for you. Reload the page.', { path: 'trial' });
  }
  return { trial, sitting };
}

/** What holds for every act, whatever the form: the trial is not over, it is this one, and so is the sample. */
async function stepAfter(context: Context, input: Act, trial: TrialRow, sitting: SittingRow): Promise<Step> {
  if (trial.step === 'void') throw away('This trial was taken out at the desk, and comes again later.');
  if (['answer', 'rate', 'grade'].includes(input.kind) && ['words', 'done'].includes(trial.step)) {
    throw new Refusal('already-answered', 'This question is answered already; the first answer stands.', {
      path: 'trial',
    });
  }
  if (currentTrial(await trialsOf(context.tx, sitting.id))?.id !== trial.id)
    throw away('This is not the trial you are at.');
  const { presentation } = trial;
  if ('presentation' in input && input.presentation !== presentation) {
    throw new Refusal(
      'wrong-place',
      `Sample ${presentation} of this trial is under way, not ${input.presentation}. The page shows where you are.`,
      { path: 'presentation', allowed: String(presentation), got: String(input.presentation) },
    );
  }
  const codes = codesOf(trial);
  const code = codes[presentation - 1];
  const plan = blindPlanOf(context.study);
  const { protocol, form } = methodOf(plan);
  const asked = { context, input, trial, codes, protocol, plan, at: { presentation, ...(code ? { code } : {}) } };
  if (input.kind === 'interrupted') return interruptedStep({ ...asked, form }, input);
  if (form.kind === 'grades') return gradesStep({ ...asked, form });
  return form.kind === 'scales' ? scalesStep({ ...asked, form }) : askingStep({ ...asked, form });
}
