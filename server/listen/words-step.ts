import type { Form } from '../../protocols/form';
import type { Act } from '../../shared/wire';
import { Refusal } from '../web/refusal';
import { type Asked, expectStep, type Step } from './steps';

/** Whether a form asks for words once a trial has its answer. */
export const asksWords = (form: Form): boolean => 'words' in form && form.words === true;

/**
 * Words after an answer, about samples of the trial by their code; none of them is an answer, too.
 * @throws Refusal by field
 */
export function wordsStep(asked: Asked, { words }: Extract<Act, { kind: 'words' }>): Step {
  const { trial, codes } = asked;
  expectStep(asked, 'words');
  const stranger = words.find(({ code }) => !codes.some((own) => own === code));
  if (stranger) {
    throw new Refusal('bad-input', 'These words are about a sample that was not in this trial.', {
      path: 'words',
      allowed: codes.join(', '),
      got: stranger.code,
    });
  }
  return {
    kind: 'worded',
    change: { step: 'done' },
    body: { words: words.filter(({ text }) => text !== ''), practice: trial.practice === 1 },
  };
}
