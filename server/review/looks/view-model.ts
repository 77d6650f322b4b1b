import type { StaffFrame } from '../../web/page';
import type { Chart } from '../chart';

/**
 * GET …/review/looks while a study runs: how the answers stand, for whoever has looked, as they stood then. Form: POST
 * …/looks {}.
 */
export interface LooksPage extends StaffFrame {
  base: string;
  /** Null where the plan has looks; else how it may be that one has. */
  fixed: { allowed: string } | null;
  rules: { label: string; value: string }[];
  /** Whether whoever asks may look. */
  may: boolean;
  /** What was shown to whoever asks when they looked last; null before. */
  last: { at: string; newer: number; audiences: LookShown[]; over: boolean } | null;
  /** Everybody who looked, in order. */
  taken: { who: string; at: string }[];
}

export interface LookShown {
  name: string;
  /** Goes on, or not. */
  state: string;
  stops: boolean;
  counted: string;
  sentence: string;
  bounds: string;
  chart: Chart;
}
