/**
 * How steadily somebody answered in one study, in counts that tell nothing of a sample. For the listener's own page and
 * for whoever leads the panel alike; made only of studies that are unsealed.
 */

/** A figure about fewer answers is shown to nobody: it would be luck. */
export const fewestAnswers = 4;
/** With fewer in an audience, what the middle of it did would be about persons. */
export const fewestBeside = 5;

interface Counted {
  done: number;
  all: number;
  /** Share, in the middle of the audience; null where too few are there to compare. */
  middle: number | null;
}

export type OwnFigure =
  /** The same samples once more, and answered alike. */
  | (Counted & { what: 'same' })
  /** Differences that are plain by design, and told. */
  | (Counted & { what: 'known' })
  /** Right answers, and how many guessing alone gives; null where that hangs on how somebody answers. */
  | (Counted & { what: 'right'; guessed: number | null })
  /** Of two samples in two rankings: the share that came out the same way round. */
  | { what: 'order'; value: number; all: number; middle: number | null }
  /** Spread of ratings of one sample, in points of the scale. */
  | { what: 'points'; value: number; all: number; middle: number | null };

/** What there is of one listener in one study. */
export type OwnFigures = 'sealed' | 'working' | readonly OwnFigure[];

/** A study that somebody sat in, without what it was about. */
export interface TakenPart {
  /** Times of the first and the last sitting, ISO 8601. */
  first: string;
  last: string;
  done: number;
  planned: number;
  figures: OwnFigures;
}
