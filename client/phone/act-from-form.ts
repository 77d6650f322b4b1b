import { joinedAnswer, partOfAnswer } from '../../shared/answer-fields';
import { gradesIn } from '../../shared/grade-fields';
import type { Act, PhoneTimes, SentRating } from '../../shared/wire';

const wordsField = /^words_(.+)$/;
const scaleField = /^scale_(.+)$/;

/**
 * The act that a form of the place part stands for, from its fields (the pressed button among them).
 * `touched` knows when a scale was first touched; one that it doesn't know counts as touched now.
 * Throws when a field that the kind needs is missing: a fault of the template, not of the listener.
 */
export function actFromForm(
  fields: ReadonlyArray<readonly [string, string]>,
  id: string,
  times: PhoneTimes,
  touched: (scale: string) => PhoneTimes | null = () => null,
): Act {
  const value = (name: string): string => {
    const found = fields.find(([field]) => field === name);
    if (!found) throw new Error(`The form has no field ${name}.`);
    return found[1];
  };
  const base = { id, trial: value('trial'), times };
  const kind = value('kind');
  switch (kind) {
    case 'rested':
    case 'fits':
    case 'refit':
    case 'plays':
    case 'heard':
      return { ...base, kind, presentation: Number(value('presentation')) };
    case 'answer':
      return {
        ...base,
        kind,
        answer: fields.some(([field]) => partOfAnswer(field)) ? joinedAnswer(fields) : value('answer'),
      };
    case 'grade':
      return { ...base, kind, presentation: Number(value('presentation')), ...gradesIn(fields) };
    case 'rate':
      return { ...base, kind, ratings: ratingsOf(fields, times, touched) };
    case 'words':
      return { ...base, kind, words: fields.some(([field]) => field === 'skip') ? [] : wordsOf(fields) };
    default:
      throw new Error(`The form has the unknown kind ${kind}.`);
  }
}

function ratingsOf(
  fields: ReadonlyArray<readonly [string, string]>,
  times: PhoneTimes,
  touched: (scale: string) => PhoneTimes | null,
): SentRating[] {
  return fields.flatMap(([field, value]) => {
    const scale = scaleField.exec(field)?.[1];
    return scale === undefined || value === ''
      ? []
      : [{ scale, value: Number(value), touched: touched(scale) ?? times }];
  });
}

function wordsOf(fields: ReadonlyArray<readonly [string, string]>): { code: string; text: string }[] {
  return fields.flatMap(([field, typed]) => {
    const code = wordsField.exec(field)?.[1];
    // A form sends line ends as two signs; the limit of the field counts one.
    const text = typed.replaceAll('\r\n', '\n').trim();
    return code !== undefined && text !== '' ? [{ code, text }] : [];
  });
}
