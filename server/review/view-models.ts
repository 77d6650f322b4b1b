import type { AmendmentRow } from '../amendment-words';
import type { Field, ProblemLine, StaffFrame } from '../web/page';
import type { Figure } from './audience-figures';
import type { Chart } from './chart';
import type { LookedPart, LooksTakenPart } from './looks/letter-part';
import type { TellsPart } from './tells/page';

/** GET /studies/:id/review while locked or running: what stands open. Form: POST …/close {understood}. */
export interface ClosePage extends StaffFrame {
  base: string;
  /** Null once closing is possible; else why not (no session held yet, …). */
  notYet: string | null;
  /** Whether the plan has looks; null while nobody can look. */
  looks: 'some' | 'none' | null;
  open: { label: string; count: number; detail: string }[];
  flow: FlowRow[];
}

/** GET …/review once closed. Form: POST …/unseal {passphrase}. */
export interface UnsealPage extends StaffFrame {
  base: string;
  closedAt: string;
  closedBy: string;
  /** Who had looked by then, where the plan has looks and somebody did. */
  looked: string | null;
  flow: FlowRow[];
  /** Somebody has looked at the data by code. */
  opened: boolean;
  /** Null where nobody was asked for one. */
  passphrase: Field | null;
}

export interface FlowRow {
  label: string;
  count: number;
  /** For losses: the reason in words. */
  detail: string;
  loss: boolean;
}

/** GET …/review of an unsealed study whose verdict isn't computed yet. Forms: POST …/computing/stop, …/computing/again. */
export interface ComputingPage extends StaffFrame {
  base: string;
  question: string;
  /** Null where it was stopped, or failed. */
  part: ComputingPart | null;
  ended: 'stopped' | 'failed' | null;
}

/** How far it is, fetched again and again by the page. */
export interface ComputingPart {
  base: string;
  playing: boolean;
  doing: string;
  done: number;
  of: number;
  parts: { words: string; state: 'done' | 'now' | 'to come' }[];
}

/** GET …/review once unsealed, signed or refused: reads like a printed letter with figures. */
export interface VerdictPage extends StaffFrame {
  base: string;
  question: string;
  /** The first line: how blind this was. */
  blind: string;
  blindNotes: string[];
  /** Who had which role, and every look at the key. */
  whoKnew: WhoKnew;
  audiences: AudienceVerdict[];
  /** What page one has beside the verdicts. */
  first: FirstPage;
  /** All audiences together, or why there is no such verdict; null where the plan doesn't ask for one. */
  pooled?: { verdict: AudienceVerdict | null; words: string } | null;
  /** About the study as a whole, and exploring: no verdict word stands there. */
  sections?: RatedSection[];
  /** Whether audiences answered alike, with a picture of them side by side; null with one audience. */
  between: RatedSection | null;
  /** What was changed after the plan was locked, by number. */
  amendments: AmendmentRow[];
  /** Who looked on the way; null where the plan has no looks. */
  looksTaken?: LooksTakenPart | null;
  flow: FlowRow[];
  /** The same audience by audience, with a picture; empty for findings of before there was any of it. */
  flowSections: RatedSection[];
  /** Planned against done, item by item; null for such findings. */
  plannedDone: DoneRow[] | null;
  /** What was left out, and the verdict both ways; null where nothing was. */
  leftOut: LeftOutPart | null;
  /** What came or was left out after what these findings end at; null where nothing did. */
  later: string | null;
  /** Where the data are shown by code; null in a rehearsal. */
  dataPage: string | null;
  /** Signs that it was less blind than meant, for the first part of the letter. */
  tellCautions: string[];
  /** What was not as it should be with levels or sound. */
  soundCautions: string[];
  /** What was answered with each excerpt, a table an audience; null with fewer than two. */
  excerpts: ExcerptTable[] | null;
  tells: TellsPart;
  /** What control trials say of panel and samples; null where the plan adds none. */
  controls: ControlsPart | null;
  /** How often each listener had heard each prototype; null before anybody had a seat. */
  exposures: ExposureTable | null;
  incidents: { at: string; category: string; text: string; seat: string }[];
  /** Null where the method asks for none. */
  words: WordsOfPrototype[] | null;
  method: MethodPart[];
  computedFrom: string;
  findingsHash: string;
  decision: {
    kind: 'signed' | 'refused';
    name: string;
    at: string;
    meaning: string;
    reason: string;
    /** What else this person did in the study, where a second pair of eyes would have been better; or null. */
    also: string | null;
    hash: string;
    /** Of the last entry that the findings depend on; null where it was signed before that was noted. */
    dataHash?: string | null;
    /** Major deviations that whoever signed knew of. */
    deviations?: string[];
    /** Why the signature is no longer valid; null while it is. */
    invalid: string | null;
  } | null;
  /**
   * Null once decided, and for whoever may not. Form: POST …/sign {decision: 'sign'|'refuse', meaning, reason, alone?,
   * known?: entries, password}.
   */
  sign: {
    /** Under which name. */
    name: string;
    /** Why nobody can sign as the record stands; null where somebody can. */
    barred: string | null;
    /** Where the record itself was changed it can't be refused either. */
    refusingBarred: boolean;
    /** What has to be known before it is signed, by its entry. */
    deviations: { value: string; words: string; checked: boolean }[];
    deviationsError: string | null;
    meanings: { value: string; label: string; chosen?: boolean }[];
    reason: Field;
    /** Why nobody else signs; asked of whoever planned the study and ran its desk alone. */
    alone: Field | null;
    password: Field;
  } | null;
  /** Whose signature it waits for, when it is somebody else's. */
  waitsFor: string | null;
  downloads: { label: string; url: string; detail: string }[];
}

/** What page one counts, each with the way to where it is told, and what stands on the pages after it. */
export interface FirstPage {
  /** What went wrong or was not as planned; empty where nothing was. */
  wrong: { words: string; href: string; grave: boolean }[];
  /** Whether anybody saw answers before the end. */
  looks: { words: string; href: string | null };
  contents: { label: string; href: string }[];
}

/** How it was done, under a heading that reports are asked for. */
export interface MethodPart {
  heading: string;
  rows: { label: string; lines: string[]; missing: boolean }[];
}

export interface DoneRow {
  item: string;
  planned: string;
  done: string;
  outcome: string;
  kept: boolean;
  why: string[];
}

export interface ControlsPart {
  kinds: {
    heading: string;
    /** What it is, and what came of it. */
    sentence: string;
    /** Something to look into. */
    caution: string | null;
    /** By listener, or by pair of units; null where there is nothing to say. */
    table: { of: string; columns: string[]; rows: { name: string; cells: string[] }[] } | null;
  }[];
}

export interface WhoKnew {
  roles: { role: string; people: string }[];
  events: { at: string; what: string; planned: boolean }[];
  /** How many of the looks and tries were not planned. */
  unplanned: number;
}

export interface LeftOutPart {
  rows: { what: string; why: string; decided: string; afterwards: boolean; trials: number }[];
  /** What the estimates are of. */
  measure: string;
  results: {
    audience: string;
    analysis: string;
    decides: boolean;
    verdict: string;
    estimate: string;
    trials: number;
  }[];
}

/**
 * GET /studies/:id/rehearsal: what there is to hear is chosen, or it is being played (`part`), or the letter of the last
 * one. Forms: POST …/rehearsal {truth}, POST …/rehearsal/stop.
 */
export interface RehearsalPage extends StaffFrame {
  base: string;
  truths: { value: string; label: string; hint: string; chosen: boolean }[];
  part: RehearsalPart | null;
  /** What the plan lacks to be tried as it stands; null when it lacks nothing. */
  lacks: string | null;
  /** How the last one ended, when it came to no verdict. */
  ended: 'stopped' | 'failed' | null;
  played: {
    at: string;
    given: string;
    hint: string;
    /** What could not be played, and why; null when all was. */
    unplayed: string | null;
    /** The plan is another one by now. */
    changed: boolean;
    letter: Omit<VerdictPage, keyof StaffFrame> & { csrf: string };
  } | null;
}

/** GET …/rehearsal/part: fetched anew while it is played. */
export interface RehearsalPart {
  base: string;
  playing: boolean;
  doing: string;
  answers: number;
  of: number;
  begun: boolean;
}

/** A prototype as it stands everywhere after unsealing: with its symbol and its hue. */
export interface Marked {
  prototype: string;
  symbol: string;
  hueClass: string;
}

export interface WordsOfPrototype extends Marked {
  texts: { text: string; audience: string }[];
}

/** Counts and means by excerpt: described and not tested. */
export interface ExcerptTable {
  audience: string;
  /** What stands in the columns after the excerpt. */
  columns: string[];
  rows: { excerpt: string; cells: string[] }[];
}

export interface ExposureTable {
  prototypes: Marked[];
  rows: { listener: string; cells: string[] }[];
}

export interface AudienceVerdict {
  id: string;
  name: string;
  verdict: string;
  /** Two or three plain words for the verdict. */
  verdictWords: string;
  sentence: string;
  /** "71 % (95 % interval 58 to 82 %), p = 0.016, 8 listeners, 96 trials, power 0.74 for 75 %". */
  figures: Figure[];
  alsoPossible: string | null;
  /** What the verdict, which is about one pair on one scale, leaves out. Null where there is nothing else. */
  others: string | null;
  warnings: string[];
  /** Those of them that stand on page one: with another choice of answers the verdict would be another one. */
  turned?: string[];
  /** How good the panel was, and whether it lasts. */
  panel?: string;
  /** Of a plan with looks: how it came to its end. */
  looks?: LookedPart;
  /** One of these, by the kind of method. */
  preference: PreferencePart | null;
  difference: DifferencePart | null;
  yesNo: YesNoPart | null;
  rating: RatingPart | null;
  ranking: RankingPart | null;
  /** Time, listeners, units, prices: beside the verdict. */
  sections?: RatedSection[];
}

export interface PreferencePart {
  /** One SVG, drawn on the server, with its caption; null where there is nothing to draw. */
  chart: Chart | null;
  pairs: {
    names: string;
    share: string;
    interval: string;
    p: string;
    pAdjusted: string;
    counts: string;
    pooled: string;
    primary: boolean;
    separated: string;
  }[];
  scores: (Marked & { score: string; interval: string })[];
  scoresNote: string | null;
  consistency: { listener: string; repeated: string; triads: string }[];
  otherRule: string | null;
}

export interface DifferencePart {
  chart: Chart | null;
  /** The chart in figures. */
  counts: { label: string; value: string }[];
  missesCaption: string;
  missedWords: string;
  misses: { heard: string; miss: string; planned: boolean }[];
  /** What p is. */
  decided: string;
  /** Whether listeners differ; null where nothing tells. */
  uneven: string | null;
  /** Rights by listener; a column a session. */
  sessions: string[];
  listeners: { listener: string; sessions: string[]; all: string }[];
}

export interface YesNoPart {
  chart: Chart | null;
  /** The answer that is counted, in quotation marks, and the two kinds of trials. */
  yes: string;
  signal: string;
  noise: string;
  counts: { label: string; value: string }[];
  /** Which answer the panel leans to; null where nothing tells. */
  leaning: string | null;
  misses: { dPrime: string; miss: string; planned: boolean }[];
  listeners: { listener: string; signal: string; noise: string }[];
}

export interface RankingPart {
  chart: Chart | null;
  /** The best first. */
  ranks: (Marked & { meanRank: string; interval: string; rankSum: string; times: string })[];
  /** Not all prototypes stood in every ranking. */
  incomplete: boolean;
  /** Those that can't be told apart, each group in words. */
  groups: string[];
  pairs: {
    names: string;
    share: string;
    interval: string;
    difference: string;
    p: string;
    pAdjusted: string;
    primary: boolean;
    separated: string;
  }[];
  /** What the two p are. */
  decided: string;
  /** The published test beside; null where these data have none. */
  published: string | null;
}

export interface RatingPart {
  /** What differences are counted in: "Points". */
  unit: string;
  /** Read before the scales: what a verdict about ticked words rests on, who was left out by the rule of the plan. */
  first: RatedSection[];
  /** Read after the pairs. */
  beside: RatedSection[];
  scales: {
    id: string;
    name: string;
    primary: boolean;
    /** "narrow 1 … wide 7". */
    ends: string;
    definition: string | null;
    /** Null without means, and where another picture has them. */
    chart: Chart | null;
    means: (Marked & { mean: string; interval: string })[];
    note: string;
  }[];
  /** The primary comparison and after it the others on the same scale, then the other scales. */
  pairs: {
    scale: string;
    rows: {
      names: string;
      difference: string;
      interval: string;
      p: string;
      pAdjusted: string;
      primary: boolean;
    }[];
  }[];
  /** By what the pairs were decided. */
  decided: string;
  models: {
    scale: string;
    /** What the model lacks, and why; empty where it lacks nothing. */
    note: string;
    /** Standard deviations in points; empty without a model. */
    spreads: { label: string; value: string }[];
    /** The pairs once more, over listeners' own means. */
    means: { names: string; difference: string; interval: string; p: string }[];
  }[];
  modelsCaption: string;
  zeroNote: string | null;
  /** How the others are to be read; null where the primary comparison is the only one. */
  pairsNote: string | null;
  late: string | null;
  /** The primary scale over the sittings; empty where no sample was rated twice. */
  habituation: HabituationPart[];
  otherHabituation: HabituationPart[];
}

/** What ratings have beside: what it says, a picture, its table. */
export interface RatedSection {
  /** Unique within an audience. */
  id: string;
  heading: string;
  sentences: string[];
  cautions: string[];
  /** Which symbol is which, where a picture has no room for names. */
  key: Marked[];
  charts: Chart[];
  tables: RatedTable[];
  note: string | null;
  /** Folded away on a screen; on paper all is open. */
  folded: boolean;
}

export interface RatedTable {
  caption: string;
  /** What a row is about. */
  of: string;
  columns: string[];
  groups: {
    heading: string | null;
    rows: { mark: Marked | null; name: string; cells: string[]; primary: boolean }[];
  }[];
}

export interface HabituationPart {
  scale: string;
  /** "drifting", "stable" or "unknown" in plain words. */
  heading: string;
  sentence: string;
  chart: Chart | null;
  /** "points". */
  unit: string;
  rows: (Marked & { first: string; change: string; drift: string })[];
  all: { change: string; drift: string; p: string } | null;
  repeatability: { when: string; pairs: string; icc: string; limits: string }[];
}

export type { ProblemLine };
