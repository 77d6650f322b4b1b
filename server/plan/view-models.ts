import type { Aim, MethodId } from '../../shared/plan';
import type { AmendmentRow } from '../amendment-words';
import type { TourStop } from '../parts';
import type { Field, ProblemLine, StaffFrame } from '../web/page';
import type { PlanDifference } from './compare-plans';
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
  /** Some study names a product, so that there is a history. */
  products: boolean;
}

/** GET /studies/new?team=two: presets. Form: POST /studies {preset, title, team?}. */
export interface NewStudyPage extends StaffFrame {
  heading: string;
  titleField: Field;
  /** For a team of a size, whose handling counts; null where none was chosen. */
  team: { id: string; people: string; handling: string } | null;
  /** By what somebody wants to know. */
  groups: {
    aim: string;
    means: string;
    presets: { id: string; name: string; method: string; sentence: string; label: string }[];
  }[];
}

export interface Choice {
  value: string;
  label: string;
  hint: string | null;
  chosen: boolean;
}

/**
 * GET /studies/:id/plan in draft. One form, POST /studies/:id/plan, with button names `do`: save · aim:AIM · method:ID ·
 * add-prototype · add-known · remove-prototype:N · add-unit:N · remove-unit:N.M · add-audience · remove-audience:N · add-scale ·
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
  /** With the products that other plans name, to choose from. */
  product: { field: Field; known: string[] };
  method: {
    id: MethodId;
    aim: Aim;
    error: string | null;
    aimError: string | null;
    aims: { id: Aim; asks: string; means: string; chosen: boolean }[];
    /** The one that is taken, and the page about it. */
    taken: { name: string; asks: string; about: string };
    ways: Ways;
  };
  prototypes: {
    number: number;
    id: string;
    name: Field;
    units: { number: number; id: string; serial: Field; note: Field; removable: boolean }[];
    removable: boolean;
    /** It is the one that everybody should tell, and is compared with nothing else. */
    known: boolean;
  }[];
  /** Something is handed over. What asks about that stands on the page in any case, and is hidden where nothing is. */
  handsOver: boolean;
  prototypesError: string | null;
  prices: { rows: { label: string; rank: Field; words: Field }[]; most: number; open: boolean };
  canAddPrototype: boolean;
  audiences: { number: number; id: string; name: Field; listeners: Field; removable: boolean }[];
  canAddAudience: boolean;
  /** Null with one audience. */
  pooling: { kinds: Choice[]; error: string | null } | null;
  /** One of the five, by method. */
  turns: PlanTurns | null;
  trials: PlanTrials | null;
  ranking: PlanRanking | null;
  impression: PlanImpression | null;
  grades: PlanGrades | null;
  /** What is asked of each sample, where the plan has words of its own for it. */
  scales: PlanScales | null;
  rights: PlanRights | null;
  ticks: PlanTicks | null;
  controls: PlanControls;
  looks: PlanLooks;
  /** People and minutes there are: what they could find stands with the other figures. */
  budget: { people: Field; minutes: Field; open: boolean };
  /** Steps whose seconds are estimated. */
  timing: { field: Field; label: string; handed: boolean }[];
  /** Whether one of them is wrong, so that its words aren't folded in. */
  timingOpen: boolean;
  sessions: { count: Field; gapHours: Field; spanDays: Field; missed: Choice[] };
  verdictDays: { kinds: Choice[]; from: Field; to: Field; range: boolean; error: string | null };
  checkIn: { id: string; label: string; rules: Choice[]; error: string | null }[];
  /** Boxes: answers with these marks are left out. */
  exclusions: {
    /** `onlyPlayed`: asked only where the listener’s page plays; `offered`: it is now. */
    rules: { id: string; label: string; ticked: boolean; onlyPlayed: boolean; offered: boolean }[];
    error: string | null;
  };
  risks: {
    /** Sameness is to be shown: β is the risk that matters, and the smallest effect is the limit. */
    similar: boolean;
    alpha: Field;
    beta: Field;
    smallest: Field;
    smallestHint: string;
    /** Null where the method fixes it. */
    sides: Choice[] | null;
  };
  /** Null where there is nothing to choose. */
  primary: {
    firsts: Choice[];
    seconds: Choice[];
    scales: Choice[] | null;
    /** Of two only the first is asked for, by the role that it has; null where both are. */
    role: { legend: string; hint: string } | null;
    error: string | null;
  } | null;
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

/** Ways of asking that answer the same, the cheapest first, each with what it costs. */
export interface Ways {
  /** What all are compared at; null while that can't be said. */
  same: string | null;
  rows: {
    id: MethodId;
    name: string;
    asks: string;
    /** What has to be known beforehand; null: nothing. */
    knows: string | null;
    cost: string | null;
    /** Why its cost can't be said; null where it is. */
    why: string | null;
    chosen: boolean;
    about: string;
  }[];
  note: string | null;
}

/** Trials of methods that count them, with what else each asks of the plan. */
export interface PlanTrials {
  head: string;
  trials: Field;
  hint: string;
  attribute: Field | null;
  reference: Choice[] | null;
  /** Whether the other is shown while one is learnt; null where nothing is learnt. */
  showOther: { ticked: boolean } | null;
}

export interface PlanRanking {
  size: Field;
  rankings: Field;
  predicted: boolean;
  /** The prototypes in the order of the plan, as the expected one would be. */
  order: string;
}

/** Trials that judge panel and samples: a field where the method takes them, else why not. */
export interface PlanControls {
  kinds: { label: string; field: Field | null; hint: string | null; refused: string | null }[];
  /** The sample of the known difference; null where the method takes none. */
  known: { samples: Choice[]; id: string; error: string | null; canAdd: boolean } | null;
  /** Something of it is typed, or wrong. */
  open: boolean;
}

export interface PlanLooks {
  /** Null where the plan can only be looked at once; then `why` says so. */
  kinds: Choice[] | null;
  bounds: Choice[];
  why: string | null;
  error: string | null;
  open: boolean;
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

/** A scale as it is written, each field by its path. */
export interface PlanScale {
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
  /** What is meant by it; null where the method doesn't ask. */
  definition: Field | null;
  removable: boolean;
}

export interface PlanScales {
  head: string;
  scales: PlanScale[];
  /** The verdict rests on one of them; the others describe. */
  error: string | null;
  /** Starter scales that are not in the plan yet. */
  starters: { id: string; name: string; ends: string }[];
  canAdd: boolean;
  caution: string | null;
}

export interface PlanImpression {
  window: Field;
  answer: Field;
  resets: Choice[];
  resetSeconds: Field;
  resetItem: Field;
  hiddenRepeats: Field;
  words: boolean;
}

/** Samples, and how often: of methods that grade them. Null: not asked by this one. */
export interface PlanGrades {
  title: string;
  head: string;
  rounds: Field | null;
  roundsHint: string;
  trials: Field | null;
  size: Field | null;
  sizeHint: string;
  hiddenRepeats: Field | null;
  reference: { samples: Choice[]; id: string; error: string | null } | null;
  anchors: { id: string; label: string; ticked: boolean }[] | null;
  screening: { ticked: boolean; rule: string } | null;
}

/** Scales from too little to too much, and liking beside. */
export interface PlanRights {
  liking: PlanScale;
  rights: { number: number; id: string; name: Field; low: Field; high: Field; removable: boolean }[];
  error: string | null;
  starters: { id: string; name: string; ends: string }[];
  canAdd: boolean;
}

/** Words to tick, and liking where it is wished. */
export interface PlanTicks {
  attributes: Field;
  /** How many lines the box has. */
  lines: number;
  asked: boolean;
  liking: PlanScale;
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
    /** Chance to show it over how large the effect truly is, as a picture; null where the plan has too few listeners. */
    curve: { svg: string; caption: string } | null;
    /** What so many people could find in so many minutes each; empty while that can't be said. */
    budget: string[];
    /** What looking on the way would cost a plan that isn’t made for it; null where it is, or can't be looked at. */
    peeking: string | null;
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

/** GET /about/methods: every method by what it answers. */
export interface MethodsPage extends StaffFrame {
  groups: { id: Aim; asks: string; means: string; methods: { name: string; asks: string; url: string }[] }[];
}

/** GET /about/methods/:method: what a team reads before it takes one. */
export interface MethodPage extends StaffFrame {
  name: string;
  asks: string;
  how: string;
  answers: { asks: string; means: string }[];
  take: string;
  leave: string;
  knows: string | null;
  cost: string;
  /** Trials over the distance to the ear; `right` is null where no answer is right or wrong. Empty where d′ says nothing. */
  costs: { dPrime: string; right: string | null; trials: string }[];
  practice: string;
  decidedBy: string;
  looks: string;
  controls: { name: string; says: string }[];
  standards: string | null;
}

/** GET /plans/bring. Form: POST /plans/bring {plan}, the text of a PLAN, which becomes a new draft. */
export interface ImportPage extends StaffFrame {
  text: Field;
  /** By the path in the document. */
  wrong: { path: string; message: string }[];
}

/** GET /studies/:id/plan/compare?with=ID: this plan beside that of another study. */
export interface ComparePage extends StaffFrame {
  base: string;
  own: string;
  others: Choice[];
  compared: { title: string; differences: PlanDifference[] } | null;
}
