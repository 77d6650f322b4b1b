import type { MethodId } from '../../shared/plan';
import type { AmendmentRow } from '../amendment-words';
import type { TourStop } from '../parts';
import type { Field, ProblemLine, StaffFrame } from '../web/page';
import type { PageBeside } from './sound-pages';

/** GET /: the studies, or the empty state in two lines with an offer to plan one. */
export interface HomePage extends StaffFrame {
  studies: {
    id: string;
    title: string;
    state: string;
    stateWords: string;
    next: { label: string; url: string } | null;
  }[];
  /** Pages worth a look, all of an invented study; null outside the demo. */
  tour: TourStop[] | null;
}

/** GET /studies/new?team=two: presets. Form: POST /studies {preset, title, team?}. */
export interface NewStudyPage extends StaffFrame {
  heading: string;
  titleField: Field;
  /** For a team of a size, whose handling counts; null where none was chosen. */
  team: { id: string; people: string; handling: string } | null;
  /** By what somebody wants to know. */
  groups: { aim: string; method: string; presets: { id: string; name: string; sentence: string; label: string }[] }[];
}

export interface Choice {
  value: string;
  label: string;
  hint: string | null;
  chosen: boolean;
}

/**
 * GET /studies/:id/plan in draft. One form, POST /studies/:id/plan, with button names `do`: save · method:ID ·
 * add-prototype · remove-prototype:N · add-unit:N · remove-unit:N.M · add-audience · remove-audience:N · add-scale ·
 * add-scale:STARTER · remove-scale:N · add-excerpt · remove-excerpt:N.
 * Names of fields are the dotted paths of PLAN (prototypes.0.name, prototypes.0.units.1.serial, risks.alpha …).
 * `finds` is what that size can find; the page script fetches it anew while typing (POST …/plan/finds → part).
 */
export interface PlanPage extends StaffFrame {
  base: string;
  /** The plan that this one goes on from, or null. */
  follows: string | null;
  title: string;
  titleField: Field;
  question: Field;
  method: {
    id: MethodId;
    error: string | null;
    choices: { id: MethodId; aim: string; name: string; how: string; chosen: boolean }[];
  };
  prototypes: {
    number: number;
    id: string;
    name: Field;
    units: { number: number; id: string; serial: Field; note: Field; removable: boolean }[];
    removable: boolean;
  }[];
  /** Something is handed over. What asks about that stands on the page in any case, and is hidden where nothing is. */
  handsOver: boolean;
  prototypesError: string | null;
  canAddPrototype: boolean;
  audiences: { number: number; id: string; name: Field; listeners: Field; removable: boolean }[];
  canAddAudience: boolean;
  /** One of the three, by method. */
  turns: PlanTurns | null;
  trials: { trials: Field } | null;
  ratings: PlanRatings | null;
  /** Steps whose seconds are estimated. */
  timing: { field: Field; label: string; handed: boolean }[];
  sessions: { count: Field; gapHours: Field; spanDays: Field; missed: Choice[] };
  checkIn: { id: string; label: string; rules: Choice[]; error: string | null }[];
  /** Boxes: answers with these marks are left out. */
  exclusions: {
    /** `onlyPlayed`: asked only where the listener’s page plays; `offered`: it is now. */
    rules: { id: string; label: string; ticked: boolean; onlyPlayed: boolean; offered: boolean }[];
    error: string | null;
  };
  risks: {
    alpha: Field;
    beta: Field;
    smallest: Field;
    smallestHint: string;
    /** Null where the method fixes it. */
    sides: Choice[] | null;
  };
  /** Null where there is nothing to choose. */
  primary: { firsts: Choice[]; seconds: Choice[]; scales: Choice[] | null; error: string | null } | null;
  closing: PlanClosing;
  handling: Choice[];
  playback: Choice[];
  sound: PlanSound;
  staleDays: Field;
  tips: Choice[];
  /** Where files are brought and levels noted, before or after locking. */
  soundPages: PageBeside[];
  finds: Finds;
  /** What stands between this draft and locking. Empty: it can be locked, and rehearsed. */
  open: ProblemLine[];
  /** Locking: POST /studies/:id/lock {passphrase, passphraseAgain}. */
  passphrase: Field;
  passphraseAgain: Field;
  /** Levels that aren't as they must be, and the reason why it is locked all the same; null where all are. */
  deviation: { of: string[]; levels: string; field: Field } | null;
  /** Where simulated listeners play the plan as it was saved: POST, token only. */
  rehearsal: string;
}

export interface PlanTurns {
  turns: Field;
  hint: string;
  noPreference: { offered: boolean; rules: Choice[] };
}

/** What the listener’s page plays. It stands on the page in any case, and is hidden where that plays nothing. */
export interface PlanSound {
  plays: boolean;
  renders: boolean;
  /** Units are compared by programme, so their levels are measured. */
  levels: boolean;
  /** A first impression plays for its window, so nothing else must have played. */
  window: boolean;
  band: boolean;
  excerpts: { number: number; id: string; name: Field }[];
  excerptsError: string | null;
  canAdd: boolean;
  match: Choice[];
  low: Field;
  high: Field;
  alignment: Choice[];
  minimumSeconds: Field;
  interruption: Choice[];
  wireless: Choice[];
}

/** The question after everything, with the words of each prototype. */
export interface PlanClosing {
  asked: boolean;
  error: string | null;
  labels: { field: Field; label: string }[];
}

export interface PlanRatings {
  scales: {
    number: number;
    label: string;
    id: string;
    name: Field;
    low: Field;
    high: Field;
    points: Field;
    polarity: Choice[];
    polarityId: string;
    polarityError: string | null;
    removable: boolean;
  }[];
  /** The verdict rests on one of them; the others describe. */
  error: string | null;
  /** Starter scales that are not in the plan yet. */
  starters: { id: string; name: string; ends: string }[];
  canAdd: boolean;
  caution: string | null;
  window: Field;
  answer: Field;
  resets: Choice[];
  resetSeconds: Field;
  resetItem: Field;
  hiddenRepeats: Field;
}

export interface Finds {
  /** Null while the plan is too incomplete to say. */
  result: {
    minutes: number;
    trialsWords: string;
    /** All sittings of a listener together; null where there is one. */
    sittingsWords: string | null;
    /** Head of the first column of the table of each audience. */
    ifTruly: string;
    audiences: FindsOfAudience[];
    /** Samples to hand over for the same, by other ways of asking; null where there are none. */
    handling: { way: string; handOvers: string }[] | null;
    warnings: string[];
    assumption: string;
  } | null;
  reason: string | null;
}

/** What one audience can show, by how large the effect truly is. */
export interface FindsOfAudience {
  name: string;
  listeners: number;
  /** `miss` where the method tells it, else null. */
  power: { effect: string; power: string; miss: string | null; percent: number; smallest: boolean }[];
  /** From which count on the verdict is given, where it rests on a count. */
  critical: string | null;
  needed: string;
}

/** GET /studies/:id/plan once locked: the plan as it was frozen, its hash and the seed's commitment. */
export interface LockedPlanPage extends StaffFrame {
  base: string;
  rows: { label: string; value: string }[];
  /** Of the plan as it stands now. */
  planHash: string;
  /** Of the plan as it was locked, which the commitment binds; null while nothing was amended. */
  lockedHash: string | null;
  amendments: AmendmentRow[];
  /** Where it can be amended. */
  amend: string | null;
  commitment: string;
  /** The public key by which the record is signed; null for a plan locked before there were signatures. */
  signingKey: string | null;
  lockedAt: string;
  lockedBy: string;
  next: { label: string; url: string };
  /** Where files are brought and levels noted. */
  soundPages: PageBeside[];
  /** How blind it is by plan, and what it lacks for more. */
  blind: { label: string; weakness: string | null };
  /** Where hearings outside the sessions are declared. */
  exposure: string | null;
  /** POST, token only: a new study that goes on from this one. */
  followUp: string | null;
  /** POST, token only: simulated listeners play this plan. */
  rehearsal: string;
}
