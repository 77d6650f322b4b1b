import type { Field, PhoneFrame } from '../web/page';

/** GET /j: type the short code by hand. Form: POST /j {code}. */
export interface FindSessionPage extends PhoneFrame {
  code: Field;
}

/** GET /j/:code: who are you? Form: POST /j/:code {alias, audience, seen: 'yes'|'no'}. One page, once. */
export interface JoinPage extends PhoneFrame {
  action: string;
  /** Null for a listener whom this server knows already (by cookie): then only the audience is asked. */
  alias: Field | null;
  knownAlias: string | null;
  /** Null when the study has one audience only. */
  audiences: { id: string; name: string; chosen: boolean }[] | null;
  audienceError: string | null;
  /** Whether this person has loaded or seen the samples of this study: the honest question to a preparer. */
  seen: { error: string | null; chosen?: 'yes' | 'no' | null };
}

/** Shown once after joining: the personal link that brings the listener back. Continue: GET /listen. */
export interface PersonalLinkPage extends PhoneFrame {
  link: string;
  qrSvg: string;
}

/** GET /listen before the first trial of a sitting. Form: POST /listen/check-in {hearing, health}. */
export interface CheckInPage extends PhoneFrame {
  questions: {
    id: 'hearing' | 'health';
    legend: string;
    options: { value: string; label: string; chosen: boolean }[];
    error: string | null;
  }[];
}

/** Form: POST /listen/consent {agree: 'yes'}; or POST /listen/stop. */
export interface ConsentPage extends PhoneFrame {
  version: string;
  cautions: string[];
  purposes: string[];
  tips: string;
}

/**
 * GET /listen from then on: the frame below around one `PlacePart`, which is also what travels by socket.
 * The part must work as plain forms (POST /listen/act with hidden fields kind, trial, presentation, csrf) and the
 * phone script takes the same forms over: it adds id and times, queues, sends, and swaps the part.
 */
export interface ListenPage extends PhoneFrame {
  version: number;
  part: PlacePart;
}

export type PlacePart =
  /** Joined and consented; the desk has not given a seat yet. */
  | { kind: 'unseated'; alias: string }
  /** Waiting for a carrier. `practice` on the practice trial. `code` is what will come, large. */
  | { kind: 'waiting'; seat: number; progress: string; practice: boolean; code: string; first: boolean }
  /** The carrier is here: put it in; left/right; seal. Forms: fits, refit. */
  | (TrialPart & { kind: 'fitting'; code: string; retries: number; tips: string })
  /** Listening. Form: heard. `programme` says in one line what to play, from the plan's playback. */
  | (TrialPart & { kind: 'listening'; code: string; last: boolean; programme: string })
  /** The question. Radio buttons named `answer`; the confirm button appears after choosing. Form: answer. */
  | (TrialPart & { kind: 'asking'; question: string; answers: { value: string; label: string; isCode: boolean }[] })
  /** Optional words per sample. Form: words (fields `words_417` …), one button sends, one skips. */
  | (TrialPart & { kind: 'words'; samples: { code: string; field: string }[]; limit: number })
  | { kind: 'paused' }
  | { kind: 'finished'; link: string | null }
  /** The seat was taken out, or the listener stopped. */
  | { kind: 'out' }
  /** The session or the study is closed. */
  | { kind: 'closed' };

export interface TrialPart {
  trial: string;
  presentation: number;
  /** Of the sitting, as this page was made. */
  version: number;
  practice: boolean;
  /** "4 of 12" or "Practice". */
  progress: string;
  csrf: string;
}

/** GET /help: "My phone can't reach this", public, also useful printed. */
export interface HelpPage {
  title: string;
  urls: string[];
}
