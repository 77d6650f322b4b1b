import { createHash } from 'node:crypto';
import type { Values } from '../web/forms';

/**
 * An act out of a plain form, for a browser without script. Its id follows from what it is about and at which
 * point of the sitting the page was made, so that a form sent twice is one act, and the same tap at a later point (a
 * sample taken back and given again) another. There is no clock of the phone to ask.
 */
export function actFromForm(values: Values, listener: string, at: Date): unknown {
  const { kind = '', trial = '', presentation = '', version = '', answer, skip } = values;
  const about = createHash('sha256').update([listener, kind, trial, presentation, version].join(' ')).digest('hex');
  const base = { id: about.slice(0, 32), kind, trial, times: { sincePlaying: null, wall: at.getTime() } };
  switch (kind) {
    case 'answer':
      return { ...base, answer: answer ?? '' };
    case 'rate': {
      // Which scale was touched when is not known here: all count as touched when the form came in.
      const touched = base.times;
      const ratings = Object.entries(values)
        .filter(([name, value]) => name.startsWith('scale_') && value.trim() !== '')
        .map(([name, value]) => ({ scale: name.slice('scale_'.length), value: Number(value), touched }));
      return { ...base, ratings };
    }
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
