import type { Kysely } from 'kysely';
import type {
  ActId,
  AudienceId,
  Code,
  ListenerId,
  SessionId,
  SittingId,
  StaffId,
  StudyId,
  TrialId,
} from '../../shared/brands';
import type { Role } from '../../shared/roles';
import type { SessionState, SittingState, StudyState, TrialStep } from '../../shared/states';

/** Times are ISO 8601 in UTC; JSON is text; booleans are 0 and 1: what SQLite and PostgreSQL both have. */
export interface StaffRow {
  id: StaffId;
  name: string;
  name_key: string;
  password: string;
  created_at: string;
}

export interface StaffTokenRow {
  hash: string;
  kind: 'invite' | 'reset';
  staff_id: StaffId | null;
  created_at: string;
  expires_at: string;
  used_at: string | null;
}

export interface StaffSessionRow {
  hash: string;
  staff_id: StaffId;
  created_at: string;
  expires_at: string;
}

export interface StudyRow {
  id: StudyId;
  title: string;
  state: StudyState;
  /** The draft as typed, or the plan as locked. */
  plan: string;
  plan_version: number;
  plan_hash: string | null;
  commitment: string | null;
  created_by: StaffId;
  created_at: string;
  /** Why this study is single blind though its plan meant better; null while it is as planned. */
  single_blind: string | null;
  /** Grows with every change; the desk shows what it last saw. */
  version: number;
}

/** What only blinding may open. */
export interface StudySecretRow {
  study_id: StudyId;
  /** The study's data key, sealed with the passphrase. */
  sealed_key: string;
  /** The seed of the draw, sealed with the data key. */
  sealed_seed: string;
}

export interface SealedDrawRow {
  study_id: StudyId;
  session_number: number;
  audience_id: AudienceId;
  ordinal: number;
  sealed: string;
}

export interface SheetOpeningRow {
  study_id: StudyId;
  staff_id: StaffId;
  session_number: number;
  at: string;
}

export interface ListenerRow {
  id: ListenerId;
  alias: string;
  alias_key: string;
  created_at: string;
  /** Hash of the browser that this listener goes on with; null until one has opened the page of a sitting. */
  device: string | null;
}

export interface ListenerTokenRow {
  hash: string;
  listener_id: ListenerId;
  created_at: string;
  /** When a card took its place, after a loss. */
  ended_at: string | null;
}

export interface MembershipRow {
  study_id: StudyId;
  listener_id: ListenerId;
  audience_id: AudienceId;
  /** Who took a seat first in this audience is 1; null until then, so that nobody uses up a place by joining. */
  ordinal: number | null;
  /** Who was signed in as staff in the browser that joined. */
  staff_id: StaffId | null;
  joined_at: string;
}

export interface SessionRow {
  id: SessionId;
  study_id: StudyId;
  number: number;
  join_code: string;
  state: SessionState;
  opened_at: string;
  closed_at: string | null;
}

export interface SittingRow {
  id: SittingId;
  study_id: StudyId;
  session_id: SessionId;
  listener_id: ListenerId;
  /** Which of the listener's planned sittings this is, from 1. */
  number: number;
  state: SittingState;
  seat: number | null;
  /** Sample that is out at this seat, by code. */
  holding: Code | null;
  holding_trial: TrialId | null;
  version: number;
  arrived_at: string;
  seated_at: string | null;
  ended_at: string | null;
}

/** How a listener said to be: apart from everything else, and removable by itself. */
export interface StateRow {
  sitting_id: SittingId;
  /** JSON: conditions that were ticked; empty for none, or for whoever would rather not say. */
  conditions: string;
  at: string;
}

export interface TrialRow {
  id: TrialId;
  sitting_id: SittingId;
  ordinal: number;
  practice: number;
  /** JSON: codes in order of presentation. */
  codes: string;
  /** JSON: order in which the answers stand on the page. */
  shown: string;
  step: TrialStep;
  /** The presentation under way, from 1. */
  presentation: number;
  retries: number;
  replaces: number | null;
  /** Since when the seat has waited for the present carrier. */
  waiting_since: string | null;
  answer: string | null;
}

export interface ActRow {
  id: ActId;
  sitting_id: SittingId;
  trial_id: TrialId;
  kind: string;
  body: string;
  at: string;
}

export interface LedgerRow {
  study_id: StudyId;
  seq: number;
  at: string;
  actor: string;
  kind: string;
  body: string;
  previous: string;
  hash: string;
}

/** An Ed25519 signature over one entry of a ledger, see blinding/signing.ts. */
export interface SignatureRow {
  study_id: StudyId;
  seq: number;
  /** Of the entry that was signed. */
  hash: string;
  /** Public key, 32 bytes in hexadecimal. */
  key: string;
  signature: string;
}

/** A role that somebody was given in a study. A role that nobody was given is taken by whoever does its work first. */
export interface StudyRoleRow {
  study_id: StudyId;
  staff_id: StaffId;
  role: Role;
  at: string;
}

/** Who has seen something of the key besides a sheet: one code that was revealed. */
export interface KeyLookRow {
  study_id: StudyId;
  staff_id: StaffId;
  /** `code-ahead`: of a fresh carrier that was still to be handed over. */
  what: 'code' | 'code-ahead';
  at: string;
}

/** An answer that came after its session or study was closed: kept, counted, and never analysed. */
export interface QuarantineRow {
  id: ActId;
  study_id: StudyId;
  sitting_id: SittingId;
  trial_id: TrialId;
  body: string;
  at: string;
}

/** What a listener thought they had, asked once when all is over. */
export interface GuessRow {
  sitting_id: SittingId;
  body: string;
  at: string;
}

/** A sound file that somebody brought, stored in the data folder under its hash. */
export interface SoundFileRow {
  sha256: string;
  bytes: number;
  format: string;
  rate: number;
  channels: number;
  frames: number;
  /** JSON: what the meter says of the whole file, and the waveform in some thousand columns. */
  facts: string;
  at: string;
}

/** Which file is what in a study: a render of an excerpt by a prototype; with units the excerpt itself, and no prototype. */
export interface StudySoundRow {
  study_id: StudyId;
  excerpt_id: string;
  /** Empty for the programme that units play. */
  prototype_id: string;
  sha256: string;
  /** As it was called where it came from. */
  name: string;
  staff_id: StaffId;
  at: string;
}

/** In and out point of an excerpt, in samples from the begin of its files; the same for all its renders. */
export interface StudyCutRow {
  study_id: StudyId;
  excerpt_id: string;
  from_frame: number;
  to_frame: number;
}

/** What was matched last, as it stands in the ledger too. JSON: see shared/sound-match.ts. */
export interface SoundMatchRow {
  study_id: StudyId;
  body: string;
  at: string;
}

/** A unit as it was measured; the newest counts. */
export interface UnitLevelRow {
  id: string;
  study_id: StudyId;
  unit_id: string;
  /** Decibels at 1 kHz of each ear, under the same conditions for all units of the study. */
  left_db: number;
  right_db: number;
  measured_on: string;
  device: string;
  method: string;
  /** The response curve as CSV, or null. */
  response: string | null;
  staff_id: StaffId;
  at: string;
}

/** What is known of the level at the ear. JSON: see shared/listening-level.ts. */
export interface ListeningLevelRow {
  study_id: StudyId;
  body: string;
  staff_id: StaffId;
  at: string;
}

/** A file that was made for one presentation, under its random address. The file itself is made anew each time. */
export interface PresentationSoundRow {
  token: string;
  trial_id: TrialId;
  presentation: number;
  sha256: string;
  bytes: number;
  at: string;
}

/** How a listener's own output was found before the first trial. JSON. */
export interface SoundCheckRow {
  sitting_id: SittingId;
  body: string;
  at: string;
}

export interface Tables {
  staff: StaffRow;
  staff_token: StaffTokenRow;
  staff_session: StaffSessionRow;
  study: StudyRow;
  study_secret: StudySecretRow;
  sealed_draw: SealedDrawRow;
  sheet_opening: SheetOpeningRow;
  listener: ListenerRow;
  listener_token: ListenerTokenRow;
  membership: MembershipRow;
  session: SessionRow;
  sitting: SittingRow;
  state: StateRow;
  trial: TrialRow;
  act: ActRow;
  ledger: LedgerRow;
  signature: SignatureRow;
  study_role: StudyRoleRow;
  key_look: KeyLookRow;
  quarantine: QuarantineRow;
  guess: GuessRow;
  sound_file: SoundFileRow;
  study_sound: StudySoundRow;
  study_cut: StudyCutRow;
  sound_match: SoundMatchRow;
  unit_level: UnitLevelRow;
  listening_level: ListeningLevelRow;
  presentation_sound: PresentationSoundRow;
  sound_check: SoundCheckRow;
}

export type Db = Kysely<Tables>;
