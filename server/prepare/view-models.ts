import type { Field, StaffFrame } from '../web/page';

/** GET /studies/:id/prepare. Form: POST /studies/:id/prepare/open {session, passphrase, understood?}. */
export interface PreparePage extends StaffFrame {
  base: string;
  handling: string;
  handlingWords: string;
  /** Which sessions a sheet can be opened for. */
  sessions: { number: number; chosen: boolean }[];
  passphrase: Field;
  /** Who opened which sheet when. */
  openings: { name: string; session: number; at: string }[];
  /** What opening will mean for this person, in one or two sentences. */
  consequence: string;
  /** True when this person has run the desk or sits in the panel: opening makes the study single blind. */
  clash: boolean;
  available: boolean;
  unavailableReason: string | null;
  /** The plan was amended after the sheet of the coming session had been opened. */
  outdated: string | null;
  /** When somebody was hurt; null where there is nothing to reveal. */
  reveal: RevealPart | null;
}

/** GET /studies/:id/prepare/sheet?session=1: printed and taken to the bench. The only page with names and codes. */
export interface SheetPage extends StaffFrame {
  session: number;
  printedAt: string;
  openedBy: string;
  handlingWords: string;
  /** Day code: one row per unit. */
  day: { code: string; prototype: string; serial: string; note: string }[] | null;
  /** Two-person: a block per listener, in the order of joining within the audience. */
  listeners: { audience: string; ordinal: number; turns: { label: string; carriers: SheetCarrier[] }[] }[] | null;
  /** Two-person: the same carriers by ascending code, for whoever is asked for one. Empty with day codes. */
  byCode: { code: string; prototype: string; serial: string }[];
  /** Trials put again after a mix-up, newest first; they stand on top of the sheet. */
  again: { audience: string; ordinal: number; label: string; carriers: SheetCarrier[] }[];
  /** What to check on every unit so that nothing but the sound differs. */
  checklist: string[];
}

export interface SheetCarrier {
  position: number;
  code: string;
  prototype: string;
  serial: string;
}

/** Folded on Prepare, and by itself at GET /studies/:id/reveal. Form: POST there {session, code, listener?, reason, passphrase, understood?}. */
export interface RevealPart {
  action: string;
  session: Field;
  code: Field;
  reason: Field;
  passphrase: Field;
  /** Whom it happened to, where a carrier is everybody's for the day; null where the code says it. */
  listeners: { value: string; label: string; chosen: boolean }[] | null;
  listenerError: string | null;
  /** Whoever asks has run the desk or sits on the panel, and the code goes on to say what its carrier holds. */
  clash: boolean;
  clashError: string | null;
  consequence: string;
}

export interface RevealPage extends StaffFrame {
  /** Null when there is nothing to reveal; then `notNow` says why. */
  reveal: RevealPart | null;
  notNow: string | null;
}

/** What one code was: shown once, in answer to the form. */
export interface RevealedPage extends StaffFrame {
  base: string;
  session: number;
  code: string;
  prototype: string;
  serial: string;
  note: string;
  seenBy: string;
  at: string;
  consequence: string;
}
