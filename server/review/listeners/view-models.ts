import type { StaffFrame } from '../../web/page';

/** GET /listeners: everybody who joined a study that this person leads, by alias. */
export interface ListenersPage extends StaffFrame {
  /** Figures of so many studies aren't worked out yet. */
  working: number;
  people: {
    url: string;
    alias: string;
    studies: number;
    sittings: number;
    last: string;
    missed: number;
    same: string;
    known: string;
    right: string;
  }[];
  /** From how many answers on a figure is shown. */
  fewest: number;
}

/** GET /listeners/:listener: one of them, study by study. */
export interface ListenerPage extends StaffFrame {
  alias: string;
  working: number;
  studies: {
    url: string;
    title: string;
    state: string;
    audience: string;
    sittings: string;
    days: string;
    missed: string;
    /** What it says of steadiness; one line that says why where there is nothing. */
    figures: string[];
  }[];
}
