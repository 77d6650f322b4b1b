import { codesTell, type Form } from '../../protocols/form';

/**
 * An answer as it came over the wire, with every sample in it by a name: of its prototype, its code, or its place.
 * @param name of the sample at a place of the trial, from 0
 */
export function answerNaming(
  form: Form,
  answer: string,
  codes: readonly string[],
  name: (place: number) => string,
): string {
  const byPlace = (place: string) => name(Number(place) - 1);
  switch (form.kind) {
    case 'yes-no':
      return (answer === 'yes' ? form.yes : form.no).slice('answer.'.length);
    case 'pick-group':
      return answer.split('+').map(byPlace).join(' + ');
    case 'in-order':
      return answer
        .split('>')
        .map((code) => name(codes.indexOf(code)))
        .join(' > ');
    default: {
      if (codesTell(form)) return byPlace(answer);
      // The third of three may bear the code of its twin; the first of the two is meant, which is the same prototype.
      const picked = codes.indexOf(answer);
      return picked < 0 ? 'none' : name(picked);
    }
  }
}

const ordinals = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth'];

/** The place of a sample in its trial, from 0, as a word. */
export const ordinalWord = (place: number): string => ordinals[place] ?? `${place + 1}th`;
