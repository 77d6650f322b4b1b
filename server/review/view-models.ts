import type { Field, ProblemLine, StaffFrame } from '../web/page';

/** GET /studies/:id/review while locked or running: what stands open. Form: POST …/close {understood}. */
export interface ClosePage extends StaffFrame {
  base: string;
  /** Null once closing is possible; else why not (no session held yet, …). */
  notYet: string | null;
  open: { label: string; count: number; detail: string }[];
  flow: FlowRow[];
}

/** GET …/review once closed. Form: POST …/unseal {passphrase}. */
export interface UnsealPage extends StaffFrame {
  base: string;
  closedAt: string;
  closedBy: string;
  flow: FlowRow[];
  passphrase: Field;
}

export interface FlowRow {
  label: string;
  count: number;
  /** For losses: the reason in words. */
  detail: string;
  loss: boolean;
}

/** GET …/review once unsealed, signed or refused: reads like a printed letter with figures. */
export interface VerdictPage extends StaffFrame {
  base: string;
  question: string;
  /** The first line: how blind this was. */
  blind: string;
  blindNotes: string[];
  audiences: AudienceVerdict[];
  flow: FlowRow[];
  incidents: { at: string; category: string; text: string; seat: string }[];
  words: { prototype: string; symbol: string; hueClass: string; texts: { text: string; audience: string }[] }[];
  method: { label: string; value: string }[];
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
  } | null;
  /** Null once decided. Form: POST …/sign {decision: 'sign'|'refuse', meaning, reason, password}. */
  sign: { meanings: { value: string; label: string; chosen?: boolean }[]; reason: Field; password: Field } | null;
  downloads: { label: string; url: string; detail: string }[];
}

export interface AudienceVerdict {
  id: string;
  name: string;
  verdict: string;
  /** Two or three plain words for the verdict. */
  verdictWords: string;
  sentence: string;
  /** "71 % (95 % interval 58 to 82 %), p = 0.016, 8 listeners, 96 trials, power 0.74 for 75 %". */
  figures: { label: string; value: string }[];
  alsoPossible: string | null;
  /** What the verdict, which is about one pair, leaves out: the other pairs. Null for two prototypes. */
  others: string | null;
  /** One SVG, drawn on the server, with its caption; null where there is nothing to draw. */
  chart: { svg: string; caption: string } | null;
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
  scores: { prototype: string; symbol: string; hueClass: string; score: string; interval: string }[];
  scoresNote: string | null;
  consistency: { listener: string; repeated: string; triads: string }[];
  otherRule: string | null;
  warnings: string[];
}

export type { ProblemLine };
