import type { AskingForm } from '../../protocols/form';
import { type WordKey, words } from '../../shared/words/en';
import type { BlindPlan } from '../blind-plan';
import { codesOf } from '../live/advance';
import { codeShown } from '../live/code-shown';
import type { TrialRow } from '../store/tables';
import type { AnswerPart, AskedPart } from './view-models';

/**
 * What a trial asks and how it is answered, by its form. Answers that are codes stand in the drawn order, which changes
 * from trial to trial. Those that are places stand in the order of hearing: counted and shuffled at once, they would be
 * mixed up, and which of them is right doesn't hang on the place.
 */
export function askedPart(trial: TrialRow, form: AskingForm, plan: BlindPlan): AskedPart {
  const all = { question: words[form.question], attribute: null };
  const codes = codesOf(trial);
  const shown = (answers: AnswerPart[]): AnswerPart[] => inOrder(JSON.parse(trial.shown) as number[], answers);
  /** A sample by its place in the trial. */
  const placed = (at: number): AnswerPart => ({
    value: String(at + 1),
    code: codeShown(form, at, plan) ? (codes[at] ?? null) : null,
    // Beside a card with the same code it needs no number, unless the question has one.
    words: trial.step !== 'comparing' || (form.kind === 'pick-one' && form.matched !== null) ? pickedWords(at) : null,
  });
  switch (form.kind) {
    case 'pick-one': {
      const one = { ...all, attribute: form.attribute ?? null, how: 'one' as const, size: 1 };
      if (form.byPlace) return { ...one, answers: form.choices.map(placed) };
      const coded = form.choices.flatMap((at): AnswerPart[] => {
        const code = codes[at];
        return code === undefined ? [] : [{ value: code, code, words: form.matched === null ? null : pickedWords(at) }];
      });
      const none: AnswerPart[] = form.none ? [{ value: 'none', code: null, words: words[form.none] }] : [];
      return { ...one, answers: shown([...coded, ...none]) };
    }
    case 'pick-group':
      return { ...all, how: 'group', size: form.size, answers: codes.map((_, at) => placed(at)) };
    case 'yes-no':
      return {
        ...all,
        how: 'one',
        size: 1,
        answers: shown([
          { value: 'yes', code: null, words: words[form.yes] },
          { value: 'no', code: null, words: words[form.no] },
        ]),
      };
    case 'in-order': {
      // In their own words, since a place of hearing stands beside a place that is given.
      const heard = (at: number): string => words[`heard.${at + 1}` as WordKey];
      const together = trial.step === 'comparing';
      const answers = codes.map((code, at): AnswerPart => ({ value: code, code, words: together ? null : heard(at) }));
      return { ...all, how: 'order', size: codes.length, answers: shown(answers) };
    }
  }
}

/** When a sample was heard: "the second". */
const pickedWords = (at: number): string => words[`picked.${at + 1}` as WordKey];

/** As the draw has it; in the order that they have where it says nothing about all of them. */
function inOrder(shown: readonly number[], answers: AnswerPart[]): AnswerPart[] {
  const ordered = shown.flatMap((index) => answers[index] ?? []);
  return ordered.length === answers.length ? ordered : answers;
}
