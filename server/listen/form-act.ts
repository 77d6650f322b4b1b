import { createHash } from 'node:crypto';
import type { Values } from '../web/forms';

/**
 * An act out of a plain form, for a browser without script. Its id follows from what it is about, so that a form sent
 * twice is one act; there is no clock of the phone to ask.
 */
export function actFromForm(values: Values, listener: string, at: Date): unknown {
  const { kind = '', trial = '', presentation = '', answer, skip } = values;
  const about = createHash('sha256').update([listener, kind, trial, presentation].join(' ')).digest('hex');
  const base = { id: about.slice(0, 32), kind, trial, times: { sincePlaying: null, wall: at.getTime() } };
  switch (kind) {
    case 'answer':
      return { ...base, answer: answer ?? '' };
    case 'words': {
      const words = Object.entries(values)
        .filter(([name]) => name.startsWith('words_'))
        .map(([name, text]) => ({ code: name.slice('words_'.length), text }));
      return { ...base, words: skip === undefined ? words : [] };
    }
    case 'refit':
      // Every time counts: this one may be sent again and again.
      return {
        ...base,
        id: createHash('sha256').update(`${about} ${at.toISOString()}`).digest('hex').slice(0, 32),
        presentation: Number(presentation),
      };
    default:
      return { ...base, presentation: Number(presentation) };
  }
}
