import type { Field, StaffFrame } from '../web/page';
import type { PrepareNav } from './nav';
import type { Waveform } from './waveform';

/** GET /studies/:id/prepare. Form: POST /studies/:id/prepare/open {session, passphrase, understood?}. */
export interface PreparePage extends StaffFrame {
  base: string;
  nav: PrepareNav[];
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
  /** One person loads and hands over: then only listening is ruled out. */
  solo: boolean;
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

/** GET /studies/:id/sound: what is played, where the server plays it. */
export interface SoundPage extends StaffFrame {
  nav: PrepareNav[];
  base: string;
  /** Why there is nothing to do here; null when there is. */
  notNow: { words: string; next: { label: string; url: string } } | null;
  /** Files and cuts may still change. */
  open: boolean;
  /** Why not. */
  closed: string | null;
  /** How the plan wants it matched and played, a line each. */
  rules: string[];
  excerpts: SoundExcerptPart[];
  /** What stands before matching. */
  missing: string[];
  match: MatchPart | null;
  /** Form: POST /studies/:id/sound/match {}. Null when it can't be matched now. */
  matching: { action: string; again: boolean } | null;
  matchError: string | null;
}

export interface SoundExcerptPart {
  id: string;
  name: string;
  slots: SoundSlot[];
  /** Form: POST /studies/:id/sound/cut {excerpt, from, to}, in seconds. Null while there is no file. */
  cut: { action: string; excerpt: string; from: Field; to: Field; length: string; advice: string | null } | null;
  wave: Waveform | null;
}

/** Form: POST /studies/:id/sound/upload as multipart {excerpt, prototype, file}. */
export interface SoundSlot {
  id: string;
  label: string;
  action: string;
  /** Form: POST /studies/:id/sound/remove {excerpt, prototype}. */
  removal: string;
  excerpt: string;
  prototype: string;
  error: string | null;
  /** Of an anchor, what it is made of: nobody brings it. */
  made: string | null;
  file: { name: string; facts: string; loudness: string; peak: string; by: string; at: string } | null;
}

export interface MatchPart {
  at: string;
  /** Of the levels. */
  unit: string;
  warnings: string[];
  excerpts: MatchedTable[];
}

export interface MatchedTable {
  name: string;
  length: string;
  rows: { label: string; before: string; gain: string; after: string; peak: string; lag: string }[];
  spread: string | null;
  /** With units: what each plays it at, and what its file is lowered by. */
  units: { serial: string; prototype: string; level: string; gain: string }[];
}

/** GET /studies/:id/levels: how loud each unit is, by ear. */
export interface LevelsPage extends StaffFrame {
  nav: PrepareNav[];
  base: string;
  notNow: { words: string; next: { label: string; url: string } } | null;
  rules: string[];
  rows: LevelRow[];
  /** What needs a signature as things stand. */
  uncovered: string[];
  /** Null when nothing can be noted any more. */
  form: LevelForm | null;
  rework: ReworkForm | null;
  history: LevelHistory[];
  reworks: { serial: string; on: string; note: string; by: string }[];
  deviations: { reason: string; by: string; at: string; of: string[] }[];
}

export interface LevelRow {
  serial: string;
  prototype: string;
  left: string | null;
  right: string | null;
  measuredOn: string | null;
  response: boolean;
  above: { words: string; judged: string; kind: string } | null;
  balance: { words: string; judged: string; kind: string } | null;
  state: string | null;
  stateWords: string;
}

interface UnitChoice {
  value: string;
  label: string;
  chosen: boolean;
}

/** Form: POST /studies/:id/levels/note. */
export interface LevelForm {
  action: string;
  units: UnitChoice[];
  unit: Field;
  left: Field;
  right: Field;
  measuredOn: Field;
  device: Field;
  method: Field;
  response: Field;
}

/** Form: POST /studies/:id/levels/rework {reworked, on, note}. */
export interface ReworkForm {
  action: string;
  units: UnitChoice[];
  reworked: Field;
  on: Field;
  note: Field;
  open: boolean;
}

export interface LevelHistory {
  serial: string;
  left: string;
  right: string;
  measuredOn: string;
  device: string;
  method: string;
  response: boolean;
  by: string;
  at: string;
  counts: boolean;
}

/** GET /studies/:id/listening-level: how loud it is at the ear, as an estimate. */
export interface ListeningPage extends StaffFrame {
  nav: PrepareNav[];
  base: string;
  notNow: { words: string; next: { label: string; url: string } } | null;
  /** Null while nothing was noted. */
  estimate: EstimatePart | null;
  /** The sound was matched anew since. */
  outdated: boolean;
  form: ListeningForm | null;
}

export interface EstimatePart {
  at: string;
  /** Null is unknown. */
  level: string | null;
  range: string | null;
  /** Told for the diffuse field, in which limits are set. */
  corrected: boolean;
  parts: { what: string; db: string; within: string; basis: string }[];
  rows: { label: string; share: string; allowed: string | null; by: string }[];
  judged: 'fine' | 'warn' | 'hold' | 'unknown';
  judgedWords: string;
}

/** Form: POST /studies/:id/listening-level. What is left empty is unknown. */
export interface ListeningForm {
  action: string;
  methods: { value: string; label: string; chosen: boolean }[];
  per: { value: string; label: string; chosen: boolean }[];
  /** The server plays, so it knows the programme once it is matched. */
  programmeKnown: boolean;
  matched: boolean;
  sensitive: boolean;
  sensitivity: Field;
  impedance: Field;
  volts: Field;
  volume: Field;
  programme: Field;
  reading: Field;
  signal: Field;
  diffuseField: Field;
  diffuseSource: Field;
}
