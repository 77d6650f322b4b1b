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
