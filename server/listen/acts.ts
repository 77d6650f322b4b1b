import { protocolOf } from '../../protocols/index';
import type { ActId, TrialId } from '../../shared/brands';
import { type Act, actSchema } from '../../shared/wire';
import { canonicalJson } from '../blinding/canonical-json';
import { type Command, type Context, planOf } from '../command';
import { advance, codesOf, currentTrial } from '../live/advance';
import { findSession } from '../store/sessions';
import { findSitting, updateSitting } from '../store/sittings';
import type { SittingRow, TrialRow } from '../store/tables';
import { findAct, findTrial, insertAct, trialsOf, updateTrial } from '../store/trials';
import { Refusal } from '../web/refusal';

/** What a phone does inside a trial. In one order: known id, right place, store, ledger; and then the next place. */
export const act: Command<Act, undefined, { repeated: boolean }> = {
  name: 'act',
  does: 'answer',
  states: ['running'],
  who: 'listener',
  input: actSchema,
  labels: { answer: 'The answer', trial: 'The trial', words: 'The words' },
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
    if (step.change.step === 'done') await advance(context, sitting.id);
    context.touch(sitting.id);
    return { repeated: false };
  },
};

async function placeOf(context: Context, input: Act): Promise<{ trial: TrialRow; sitting: SittingRow }> {
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

interface Step {
  kind: string;
  change: Partial<TrialRow>;
  body: Record<string, unknown>;
}

async function stepAfter(context: Context, input: Act, trial: TrialRow, sitting: SittingRow): Promise<Step> {
  if (trial.step === 'void') throw away('This trial was taken out at the desk, and comes again later.');
  if (input.kind === 'answer' && ['words', 'done'].includes(trial.step)) {
    throw new Refusal('already-answered', 'This question is answered already; the first answer stands.', {
      path: 'trial',
    });
  }
  if (currentTrial(await trialsOf(context.tx, sitting.id))?.id !== trial.id)
    throw away('This is not the trial you are at.');
  const { presentation } = trial;
  const codes = codesOf(trial);
  const at = { presentation, code: codes[presentation - 1] };
  const expect = (step: TrialRow['step']): void => {
    const same = !('presentation' in input) || input.presentation === presentation;
    if (trial.step !== step || !same) throw away('The sitting is at another point by now.');
  };
  switch (input.kind) {
    case 'fits':
      expect('fitting');
      return { kind: 'fitted', change: { step: 'listening' }, body: { ...at, retries: trial.retries } };
    case 'refit':
      expect('fitting');
      return { kind: 'refitted', change: { retries: trial.retries + 1 }, body: at };
    case 'heard': {
      expect('listening');
      const last = presentation === codes.length;
      const next: Partial<TrialRow> = last
        ? { step: 'asking' }
        : { step: 'waiting', presentation: presentation + 1, retries: 0, waiting_since: context.at.toISOString() };
      return { kind: 'heard', change: next, body: at };
    }
    case 'answer': {
      expect('asking');
      const { form, protocol } = methodOf(context);
      if (protocol.read(form, codes, input.answer) === null) {
        throw new Refusal('bad-input', 'This answer is none of those that were offered.', {
          path: 'answer',
          allowed: [...codes, ...(form.none ? ['none'] : [])].join(', '),
          got: input.answer,
        });
      }
      const change: Partial<TrialRow> = { step: form.words ? 'words' : 'done', answer: input.answer };
      return { kind: 'answered', change, body: { answer: input.answer, practice: trial.practice === 1 } };
    }
    case 'words': {
      expect('words');
      const stranger = input.words.find(({ code }) => !codes.some((own) => own === code));
      if (stranger) {
        throw new Refusal('bad-input', 'These words are about a sample that was not in this trial.', {
          path: 'words',
          allowed: codes.join(', '),
          got: stranger.code,
        });
      }
      const words = input.words.filter(({ text }) => text !== '');
      return { kind: 'worded', change: { step: 'done' }, body: { words, practice: trial.practice === 1 } };
    }
  }
}

const away = (sentence: string): Refusal =>
  new Refusal('wrong-place', `${sentence} The page shows where you are.`, { path: 'trial' });

function methodOf(context: Context) {
  const plan = planOf(context.study);
  const protocol = protocolOf(plan.method.id);
  return { protocol, form: protocol.form(protocol.spec.parse(plan.method.spec), plan) };
}
