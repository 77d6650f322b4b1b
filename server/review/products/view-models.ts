import type { StaffFrame } from '../../web/page';
import type { RatedSection } from '../view-models';

/** GET /products: what is being tuned, each with its studies. */
export interface ProductsPage extends StaffFrame {
  products: { name: string; url: string; studies: string; last: string }[];
}

/** GET /products/:product?earlier=ID&later=ID: the history of one product, and two of its studies beside each other. */
export interface ProductPage extends StaffFrame {
  name: string;
  url: string;
  /** Unsealed ones, the newest first. */
  studies: HistoryEntry[];
  /** Sealed ones, of which nothing is told but that they are there. */
  sealed: { title: string; state: string; url: string }[];
  compare: {
    earlier: { value: string; label: string; chosen: boolean }[];
    later: { value: string; label: string; chosen: boolean }[];
    result: ComparedStudies | null;
  } | null;
}

export interface HistoryEntry {
  title: string;
  url: string;
  unsealed: string;
  question: string;
  method: string;
  prototypes: string;
  audiences: { name: string; verdict: string; sentence: string }[];
  /** "Signed by Ada, 2 March 2027", "Not decided yet". */
  decided: string;
  /** Why its verdicts don't stand here: being computed, or a record that can't be trusted. */
  instead: string | null;
}

export interface ComparedStudies {
  heading: string;
  /** Why they aren't put on one axis; then there is nothing else. */
  refused: string[];
  identity: string | null;
  sections: RatedSection[];
  note: string | null;
}
