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

/** GET and POST /j/:code for a listener who may not sit now: too early, past the span, or had all. */
export interface NotNowPage extends PhoneFrame {
  heading: string;
  lead: string;
  /** From when it is possible, large; null when it isn't any more. */
  from: string | null;
  after: string;
  /** The way to the listener's own link, for whoever comes back later; null for whoever doesn't. */
  link: string | null;
}

/**
 * GET /listen: the frame below around one `PlacePart`, which is also what travels by socket. Up to the seat a part holds
 * plain forms. From then on it must work as plain forms (POST /listen/act with hidden fields kind, trial, presentation, csrf) and the
 * phone script takes the same forms over: it adds id and times, queues, sends, and swaps the part.
 */
export interface ListenPage extends PhoneFrame {
  version: number;
  /** Whose place it is: what a phone keeps until it is sent is kept apart by listener. */
  listener: string;
  part: PlacePart;
}

export type PlacePart =
  | CheckInPart
  | ConsentPart
  /** Joined and consented; the desk has not given a seat yet. */
  | { kind: 'unseated'; alias: string }
  /** Waiting for a carrier. `practice` on the practice trial. */
  | (SampleNow & { kind: 'waiting'; seat: number; progress: string; practice: boolean; first: boolean })
  /** Before a first impression: the carrier is here and stays closed. `item` is the neutral piece; null: silence. */
  | (TrialPart & SampleNow & { kind: 'resetting'; seconds: number; item: string | null })
  /** The carrier is here: put it in; left/right; seal. Forms: fits, refit. `still`: nothing plays until it sits. */
  | (TrialPart &
      SampleNow & {
        kind: 'fitting';
        retries: number;
        tips: string;
        still: boolean;
        /** The first sample of a sitting: the level is set now. */
        begins: boolean;
      })
  /**
   * It sits; the first sound starts a first impression. Form: plays. `touch`: nothing plays, it is felt or spoken.
   * `ahead` is the place that comes next, so that the script need not wait for it.
   */
  | (TrialPart &
      SampleNow & { kind: 'starting'; programme: string; seconds: number; touch: boolean; ahead: RatingPart })
  | RatingPart
  /** Listening. Form: heard. `programme` says in one line what to play, from the plan's playback. */
  | (TrialPart & SampleNow & { kind: 'listening'; last: boolean; matched: boolean; programme: string })
  /** The question. Radio buttons named `answer`; the confirm button appears after choosing. Form: answer. */
  | (TrialPart & { kind: 'asking'; question: string; answers: AnswerPart[] })
  /** Optional words per sample. Form: words (fields `words_417` …), one button sends, one skips. */
  | (TrialPart & { kind: 'words'; samples: { code: string; field: string }[]; limit: number })
  | { kind: 'paused' }
  /** `next` says in words from when the next sitting is possible; null when there is none. */
  | { kind: 'finished'; next: string | null }
  /** The seat was taken out, or the listener stopped. Who was not `seated` yet has no sample and no answers. */
  | { kind: 'out'; seated: boolean }
  /** Put off at check-in by a rule of the plan. `next` says in words what that means for the sittings to come. */
  | { kind: 'postponed'; next: string }
  /** The listener goes on with another device. Form: POST /listen/here {}. */
  | { kind: 'elsewhere'; csrf: string }
  /** The session or the study is closed. */
  | { kind: 'closed' };

/** Before the first trial of a sitting. Form: POST /listen/check-in {conditions…, outside: 'yes'|'no'}. */
export interface CheckInPart {
  kind: 'check-in';
  csrf: string;
  /** Check boxes named `conditions`; the last two say that none fits, or that it is nobody's business. */
  conditions: { value: string; label: string; chosen: boolean }[];
  conditionsError: string | null;
  outside: { legend: string; chosen: 'yes' | 'no' | null; error: string | null };
}

/** Form: POST /listen/consent {agree: 'yes'}; or POST /listen/stop. */
export interface ConsentPart {
  kind: 'consent';
  csrf: string;
  textVersion: string;
  cautions: string[];
  purposes: string[];
  tips: string;
}

/** All scales at once, in pages for the script. Without a code it is practice. Form: rate (fields `scale_bass` …). */
export interface RatingPart extends TrialPart, SampleNow {
  kind: 'rating';
  question: string;
  seconds: number;
  leaves: ScalePart[][];
}

/** The sample that a place is about. */
export interface SampleNow {
  /** Large on the page; null where it would tell, or where there is none. */
  code: string | null;
  /** "the third sample", in methods where one of them must be told; else null. */
  which: string | null;
}

export interface AnswerPart {
  value: string;
  label: string;
  isCode: boolean;
  /** When it was heard, where that helps to tell; else null. */
  note: string | null;
}

/** A scale as it is tapped: its points from the low end to the high one. */
export interface ScalePart {
  id: string;
  name: string;
  low: string;
  high: string;
  /** About a middle. */
  bipolar: boolean;
  /** `chosen`: sent before, with a form that was refused. */
  values: { value: number; place: number; middle: boolean; chosen?: boolean }[];
}

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
