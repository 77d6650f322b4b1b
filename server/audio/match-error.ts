/** Why sounds or units can't be brought to one level. */
export const matchErrorCodes = [
  /** Nothing to match. */
  'nothing',
  /** Other than one or two channels: two ears play a render. */
  'channels',
  /** Files of one excerpt at different rates. */
  'mixed-rates',
  /** Files of one excerpt of different lengths. */
  'mixed-lengths',
  /** Loudness needs 0.4 s. */
  'too-short',
  /** Nothing above −70 LUFS, or next to nothing in the band. */
  'too-quiet',
  /** The band doesn't lie within what the rate can hold. */
  'band',
  /** Levels still differ after the gains were applied. */
  'not-matched',
  /** A level of a unit that is no level. */
  'unit-level',
] as const;
export type MatchErrorCode = (typeof matchErrorCodes)[number];

/** Sounds or units can't be matched; the message says what is wrong and what to do. `file` is the id of the one at fault. */
export class MatchError extends Error {
  constructor(
    readonly code: MatchErrorCode,
    message: string,
    readonly file?: string,
  ) {
    super(message);
    this.name = 'MatchError';
  }
}
