import type { SoundError } from '../audio/sound-error';
import { Refusal } from './refusal';

/** A sound that can't be used, as the answer to the form that brought it. */
export const soundRefusal = (error: SoundError, field = 'file'): Refusal =>
  new Refusal(error.code === 'too-large' ? 'too-large' : 'bad-input', error.message, { path: field });
