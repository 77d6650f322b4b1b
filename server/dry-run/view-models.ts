import type { Field, ProblemLine, StaffFrame } from '../web/page';

/** What is being played, for the page and for the part that it fetches. */
export interface DryRunPart {
  base: string;
  playing: boolean;
  panels: string;
  played: number;
  of: number;
  /** While no panel is through yet the bar would be empty and say nothing. */
  begun: boolean;
}

export interface DryRunAudience {
  /** Null where there is one. */
  name: string | null;
  sentence: string;
  promise: string;
  verdicts: { words: string; of: string; percent: number }[];
  figures: { label: string; value: string }[];
}

export interface DryRunPage extends StaffFrame {
  base: string;
  truths: { value: string; label: string; hint: string; chosen: boolean }[];
  panels: { value: string; label: string; hint: string; chosen: boolean }[];
  own: { field: Field; label: string; hint: string }[];
  part: DryRunPart | null;
  /** Why the plan can't be played as it stands. */
  lacks: string | null;
  ended: 'stopped' | 'failed' | null;
  played: {
    at: string;
    given: string;
    hint: string;
    changed: boolean;
    audiences: DryRunAudience[];
    /** Over all audiences, where there are several and nothing is there. */
    together: string | null;
    how: string;
  } | null;
  problems: ProblemLine[];
}
