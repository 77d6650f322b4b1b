import { codesTell, type Form } from '../../../protocols/form';

/** Which sample an answer named, as far as it can lean to one side: to what was heard first, or to a high code. */
export interface Named {
  /** 1 for the one heard first of those that could be named, −1 for the last, 0 for neither. */
  place: -1 | 0 | 1;
  /** 1 for the one with the highest code, −1 for the lowest, 0 for neither. */
  code: -1 | 0 | 1;
}

const neither: Named = { place: 0, code: 0 };

/** Answers that name no sample lean to none. */
export function namedIn(form: Form, answer: string | null, codes: readonly string[]): Named {
  if (answer === null) return neither;
  if (form.kind === 'pick-one') {
    const { choices } = form;
    const picked = codesTell(form) ? Number(answer) - 1 : choices.find((place) => codes[place] === answer);
    return picked === undefined
      ? neither
      : { place: leaning([picked], choices), code: byCode([picked], choices, codes) };
  }
  if (form.kind !== 'pick-group') return neither;
  const group = answer.split('+').map((place) => Number(place) - 1);
  const all = Array.from({ length: form.presentations }, (_, place) => place);
  if (!form.bothGroups) return { place: leaning(group, all), code: byCode(group, all, codes) };
  // Two groups of two, of which either may be told: whom the first is put with.
  const partner = group.includes(0)
    ? group.filter((place) => place !== 0)
    : all.filter((place) => place > 0 && !group.includes(place));
  return { place: leaning(partner, all.slice(1)), code: 0 };
}

/** Whether the first of the choices is among those picked, or the last; both are no leaning. */
function leaning(picked: readonly number[], choices: readonly number[]): -1 | 0 | 1 {
  const [first, last] = [picked.includes(choices[0] ?? -1), picked.includes(choices.at(-1) ?? -1)];
  return first === last ? 0 : first ? 1 : -1;
}

const byCode = (picked: readonly number[], choices: readonly number[], codes: readonly string[]): -1 | 0 | 1 =>
  leaning(
    picked,
    choices.toSorted((a, b) => Number(codes[b]) - Number(codes[a])),
  );

/** Whether an answer says how the second of two is beside the first. */
export const comparesTwo = (form: Form): boolean =>
  form.kind === 'grades' && form.presentations === 2 && form.graded.length === 1;

/** Of the second beside the first: the one that came out better, if either did. */
export function betterNamed(value: number, codes: readonly string[]): Named {
  const picked = value === 0 ? [] : [value > 0 ? 1 : 0];
  return { place: leaning(picked, [0, 1]), code: byCode(picked, [0, 1], codes) };
}
