/** A part of the piece that is repeated, in its frames. */
export interface Bit {
  from: number;
  to: number;
}

/** So much of the piece is repeated: what a listener can keep in mind from one sample to the next. */
const bitSeconds = 3;

/** The seconds around a place of the piece; all of it where it lasts no longer. */
export function bitAround(here: number, frames: number, rate: number): Bit {
  const length = Math.min(frames, bitSeconds * rate);
  const from = Math.min(Math.max(0, Math.round(here - length / 2)), frames - length);
  return { from, to: from + length };
}
