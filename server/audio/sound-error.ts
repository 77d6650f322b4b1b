/** Why a file can't be used as sound. */
export const soundErrorCodes = [
  /** No byte in it. */
  'empty',
  /** Something else than sound: text, a picture, a video. */
  'not-sound',
  /** Sound, but of a format or a coding that isn't read here. */
  'unsupported',
  /** Named as one format, and another inside. */
  'misnamed',
  /** A part contradicts another, or can't be read. */
  'broken',
  /** Promises more than there is. */
  'truncated',
  /** Something after the end. */
  'trailing',
  /** A checksum in the file doesn't fit what it stands for. */
  'checksum',
  'no-channels',
  'too-many-channels',
  'rate',
  'too-long',
  'too-large',
  /** Samples that are no numbers, or far beyond full scale. */
  'not-numbers',
  'silent',
  /** In and out points that aren't within the file. */
  'cut',
  /** Taken once, and not in the data folder any more, or not what it was. */
  'lost',
  /** Nowhere to put it. */
  'no-room',
] as const;
export type SoundErrorCode = (typeof soundErrorCodes)[number];

/** A file can't be used as sound; the message says what is wrong, where, and what to do. Says nothing of the file's name. */
export class SoundError extends Error {
  constructor(
    readonly code: SoundErrorCode,
    message: string,
  ) {
    super(message);
    this.name = 'SoundError';
  }
}
