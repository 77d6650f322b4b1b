import type { AskingForm } from '../../protocols/form';
import { say } from '../../shared/words/say';
import type { TrialRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { heardSound } from './sound-steps';
import { type Asked, expectStep, notAsked, type Step } from './steps';
import { asksWords, wordsStep } from './words-step';

/** One sample after the other is fitted and heard, then one question is answered, then there may be words. */
export async function askingStep(asked: Asked<AskingForm>): Promise<Step> {
  const { input, trial, codes, form, protocol, at } = asked;
  switch (input.kind) {
    case 'fits':
      expectStep(asked, 'fitting');
      return { kind: 'fitted', change: { step: 'listening' }, body: { ...at, retries: trial.retries } };
    case 'refit':
      expectStep(asked, 'fitting');
      return { kind: 'refitted', change: { retries: trial.retries + 1 }, body: at };
    case 'plays':
    case 'resumed':
      // All samples of the trial begin to be heard, or do so once more; but not what was learnt before them.
      expectStep(asked, 'comparing');
      return {
        kind: input.kind === 'plays' ? 'started' : 'resumed',
        change: { step: 'comparing' },
        body: { ...at, ...(trial.presentation === 1 ? { all: true } : {}) },
      };
    case 'heard': {
      expectStep(asked, 'listening');
      const sound = await heardSound(asked, input.sound, 1);
      const next = afterHeard(asked);
      return { kind: 'heard', change: next, body: { ...at, ...sound } };
    }
    case 'answer': {
      if (trial.step !== 'comparing') expectStep(asked, 'asking');
      if (protocol.read(form, codes, { picked: input.answer }) === null) {
        throw new Refusal('bad-input', missingWords(form, codes.length), {
          path: 'answer',
          allowed: answersOffered(form, codes),
          got: input.answer,
        });
      }
      // Where samples came one by one, each was heard on a page of its own.
      const sound =
        trial.step === 'comparing' ? await heardSound(asked, input.sound, codes.length - trial.presentation + 1) : {};
      const change: Partial<TrialRow> = {
        step: asksWords(form) ? 'words' : 'done',
        answer: input.answer,
      };
      return { kind: 'answered', change, body: { answer: input.answer, practice: trial.practice === 1, ...sound } };
    }
    case 'words':
      return wordsStep(asked, input);
    default:
      return notAsked(input, ['fits', 'refit', 'heard', 'plays', 'answer', 'words']);
  }
}

/** The next sample, or the question. Where the page plays all of a trial at once, only what is learnt comes by itself. */
function afterHeard({ context, trial, codes, form, plan }: Asked<AskingForm>): Partial<TrialRow> {
  const { presentation } = trial;
  if (presentation === codes.length) return { step: 'asking' };
  const next = { presentation: presentation + 1, retries: 0 };
  if (plan.handling !== 'server') return { ...next, step: 'waiting', waiting_since: context.at.toISOString() };
  const learns = form.kind === 'yes-no' && presentation < form.learning;
  return { ...next, step: learns ? 'listening' : 'comparing' };
}

/** What is missing of an answer, for the listener. */
function missingWords(form: AskingForm, samples: number): string {
  if (form.kind === 'pick-group') return say('asking.missing.group', { count: form.size });
  if (form.kind === 'in-order') return say('asking.missing.order', { count: samples });
  return say('asking.missing.one');
}

/** What may be sent as an answer, for who sent something else. */
function answersOffered(form: AskingForm, codes: readonly string[]): string {
  switch (form.kind) {
    case 'pick-one': {
      const choices = form.choices.map((choice) => (form.byPlace ? String(choice + 1) : codes[choice]));
      return [...choices, ...(form.none ? ['none'] : [])].join(', ');
    }
    case 'pick-group':
      return `${form.size} places out of 1 to ${form.presentations}, joined by +`;
    case 'yes-no':
      return 'yes, no';
    case 'in-order':
      return `${codes.join(', ')} in any order, joined by >`;
  }
}
