import { fault } from '../fault.mjs';

/** Faults in how phones and desk ask by the forms of the methods. */
export const asked = [
  fault(
    'asked: codes of the day on a page where they are the answer',
    'server/live/code-shown.ts',
    [['!(codesTell(form) || mayRepeat(form, place))', '!mayRepeat(form, place)']],
    'listen/forms',
  ),
  fault(
    'asked: a sample that may be the one that is out is swapped for it',
    'protocols/form.ts',
    [["form.kind !== 'pick-one' || form.byPlace === true || ", '']],
    'listen/forms',
  ),
  fault(
    'asked: what was learnt stands beside what is asked about',
    'server/listen/sounds.ts',
    [['.slice(trial.presentation - 1)', '']],
    'listen/forms',
  ),
  fault(
    'asked: what is to be learnt is called another',
    'server/listen/trial-part.ts',
    [['at === form.another', 'at !== form.another']],
    'listen/forms',
  ),
  fault(
    'asked: a place that was given twice counts for the first',
    'shared/answer-fields.ts',
    [['.length === 1)', '.length >= 1)']],
    'listen/forms',
    'shared/answer-fields',
  ),
  fault(
    'asked: what was picked is lost with an answer that is refused',
    'server/listen/chosen-again.ts',
    [["part.how === 'one' ? 'answer' : pickField", "'answer'"]],
    'listen/forms',
  ),
  fault(
    'asked: those after a place that was taken back stay where they are',
    'client/phone/answering.ts',
    [['> at) one.value', '> 99) one.value']],
    'client/phone/answering',
    'browser/methods',
  ),
  fault(
    'asked: a virtual listener mixes up places that are one sample',
    'server/demo/ears.ts',
    [['order[at] as number', 'at']],
    'demo/ears',
  ),
];
