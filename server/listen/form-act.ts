import { createHash } from 'node:crypto';
import { joinedAnswer } from '../../shared/answer-fields';
import { gradesIn } from '../../shared/grade-fields';
import { inputOf, valuesOf } from '../web/forms';

/**
 * An act out of a plain form, for a browser without script. Its id follows from what it is about and at which
 * point of the sitting the page was made, so that a form sent twice is one act, and the same tap at a later point (a
 * sample taken back and given again) another. There is no clock of the phone to ask.
 */
export function actFromForm(body: unknown, listener: string, at: Date): unknown {
  const values = valuesOf(body);
  const { kind = '', trial = '', presentation = '', version = '', answer, skip } = values;
  const about = createHash('sha256').update([listener, kind, trial, presentation, version].join(' ')).digest('hex');
  const base = { id: about.slice(0, 32), kind, trial, times: { sincePlaying: null, wall: at.getTime() } };
  switch (kind) {
    case 'answer':
      return { ...base, answer: answer ?? joinedAnswer(fieldsOf(body)) };
    case 'rate': {
      // Which scale was touched when is not known here: all count as touched when the form came in.
      const touched = base.times;
      const ratings = Object.entries(values)
        .filter(([name, value]) => name.startsWith('scale_') && value.trim() !== '')
        .map(([name, value]) => ({ scale: name.slice('scale_'.length), value: Number(value), touched }));
      return { ...base, ratings };
    }
    case 'grade':
      return { ...base, presentation: Number(presentation), ...gradesIn(fieldsOf(body)) };
    case 'words': {
      const words = Object.entries(values)
        .filter(([name]) => name.startsWith('words_'))
        .map(([name, text]) => ({ code: name.slice('words_'.length), text }));
      return { ...base, words: skip === undefined ? words : [] };
    }
    default:
      return { ...base, presentation: Number(presentation) };
  }
}

/** All that was sent, a field that came more than once as often as it came. */
export const fieldsOf = (body: unknown): [name: string, value: string][] =>
  Object.entries(inputOf(body)).flatMap(([name, value]) =>
    [value].flat().flatMap((one): [string, string][] => (typeof one === 'string' ? [[name, one]] : [])),
  );
