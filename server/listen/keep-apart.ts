import { methodOf } from '../../protocols/index';
import type { ActId } from '../../shared/brands';
import { type Act, type ActKind, actSchema } from '../../shared/wire';
import { blindPlanOf } from '../blind-plan';
import { canonicalJson } from '../blinding/canonical-json';
import type { Command, Context } from '../command';
import { codesOf } from '../live/advance';
import { lastEntryAbout } from '../store/ledger';
import { findQuarantine, insertQuarantine, quarantinedFor } from '../store/quarantine';
import { findSession } from '../store/sessions';
import type { SittingRow, StudyRow, TrialRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { actLabels, placeOf } from './acts';
import { askingStep } from './asking-steps';
import { gradesStep } from './grades-steps';
import { scalesStep } from './scales-steps';
import { away, type Step } from './steps';

/**
 * What a listener answered in time, and a phone without a line could send only after the session or the study was
 * closed. It is kept, acknowledged and counted, and never analysed: from closing on the data stand.
 */

/** Where a trial stood when such an act was tapped. What else a phone sends answers nothing, and stays refused. */
const tappedAt: Partial<Record<ActKind, TrialRow['step']>> = {
  answer: 'asking',
  rate: 'rating',
  grade: 'asking',
  words: 'words',
};

/** All at once where the page plays them; else by what was graded: the sample at the ear, or all once more. */
function stepOf(input: Act, trial: TrialRow, together: boolean): TrialRow['step'] {
  if (together && (input.kind === 'answer' || input.kind === 'grade')) return 'comparing';
  if (input.kind === 'grade') {
    const places = new Set([...input.grades, ...input.ticks].map(({ place }) => place));
    if (places.size <= 1) return 'rating';
    if (trial.presentation < codesOf(trial).length) throw away('Some of these samples were never given out.');
    return 'asking';
  }
  return tappedAt[input.kind] ?? trial.step;
}

export const isAnswer = ({ kind }: Pick<Act, 'kind'>): boolean => tappedAt[kind] !== undefined;

export const keepApart: Command<Act> = {
  name: 'keep-apart',
  does: 'send what you answered before',
  states: ['running', 'closed', 'unsealed', 'signed', 'refused'],
  who: 'listener',
  input: actSchema,
  labels: actLabels,
  async run(context, input) {
    const { tx, study, at } = context;
    const { trial, sitting } = await placeOf(context, input);
    const before = await findQuarantine(tx, input.id as ActId);
    if (before) {
      if (before.sitting_id === sitting.id && before.body === canonicalJson(input)) return;
      throw new Refusal('repeated-id', 'Something else was sent under this id. Reload the page.', { path: 'id' });
    }
    const why = await closedBy(context, study, sitting);
    await expectUnanswered(context, input, trial);
    const { body } = await shapeOf(context, input, trial);
    await insertQuarantine(tx, {
      id: input.id as ActId,
      study_id: study.id,
      sitting_id: sitting.id,
      trial_id: trial.id,
      body: canonicalJson(input),
      at: at.toISOString(),
    });
    await context.record('quarantined', {
      act: input.id,
      kind: input.kind,
      sitting: sitting.id,
      trial: trial.id,
      session: sitting.session_id,
      why,
      times: input.times,
      ...body,
    });
  },
};

/** @throws Refusal while the session goes on: then it is an act like others */
async function closedBy(
  { tx }: Context,
  study: StudyRow,
  sitting: SittingRow,
): Promise<'study-closed' | 'session-closed'> {
  if (study.state !== 'running') return 'study-closed';
  const session = await findSession(tx, sitting.session_id);
  if (session?.state === 'closed') return 'session-closed';
  throw away('The session goes on.');
}

/** @throws Refusal for a trial that has its answer, in time or apart, and for one that was taken out */
async function expectUnanswered({ tx, study }: Context, { kind }: Act, trial: TrialRow): Promise<void> {
  if (trial.step === 'void') throw away('This trial was taken out at the desk.');
  const apart = (await quarantinedFor(tx, trial.id)).map(({ body }) => (JSON.parse(body) as Act).kind);
  const again = new Refusal('already-answered', 'This question is answered already; the first answer stands.', {
    path: 'trial',
  });
  if (kind === 'words') {
    if (apart.includes('words') || (await lastEntryAbout(tx, study.id, 'worded', trial.id))) throw again;
    const answered = trial.step === 'done' || apart.includes('answer') || apart.includes('rate');
    if (!answered) throw away('Words belong to an answer, and this trial has none.');
  } else if (trial.step !== 'lost' || apart.includes(kind)) throw again;
}

/** What the ledger would have had of it, had it come in time. @throws Refusal when it was never offered */
async function shapeOf(context: Context, input: Act, trial: TrialRow): Promise<Step> {
  const plan = blindPlanOf(context.study);
  const { protocol, form } = methodOf(plan);
  const asked = {
    context,
    input,
    trial: { ...trial, step: stepOf(input, trial, plan.handling === 'server') },
    codes: codesOf(trial),
    protocol,
    plan,
    at: { presentation: trial.presentation },
  };
  if (form.kind === 'grades') return gradesStep({ ...asked, form });
  return form.kind === 'scales' ? scalesStep({ ...asked, form }) : askingStep({ ...asked, form });
}
