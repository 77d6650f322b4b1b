import type { StaffFrame } from '../web/page';

/**
 * GET /studies/:id/run. The desk: codes and progress, never identities, never answers.
 * The part `desk` is fetched anew (GET /studies/:id/run/part) whenever the socket says that something changed.
 * Every action is a form: POST /studies/:id/run/<action> with the hidden fields given.
 */
export interface DeskPage extends StaffFrame {
  desk: Desk;
}

export interface Desk {
  base: string;
  csrf: string;
  version: number;
  /** No session yet or the last is closed: offer to open one (POST open-session), or say why not. */
  openable: { allowed: boolean; number: number; reason: string | null };
  /** The operator may not work here: opened a sheet. Form: POST single-blind {reason}. */
  barred: { sentence: string } | null;
  session: DeskSession | null;
  /** Who may come now, overdue first; null while a session is open or nobody can come any more. */
  due: { alias: string; audience: string; overdue: boolean }[] | null;
  closedSessions: {
    number: number;
    openedAt: string;
    closedAt: string;
    finished: number;
    cut: number;
    postponed: number;
  }[];
  incidents: { at: string; category: string; text: string; seat: number | null }[];
}

export interface DeskSession {
  number: number;
  state: 'open' | 'paused';
  joinUrl: string;
  joinCode: string;
  joinQrSvg: string;
  /** Other addresses of this machine, for phones that can't reach the first. */
  otherUrls: string[];
  /** What needs a hand now, most urgent first. */
  hands: Hand[];
  /**
   * Joined, waiting for a seat (POST seat {sitting}). `ready` once check-in and consent are done. `again`: put off at
   * check-in, why is nobody's business here; POST check-in-again {sitting} lets them check in anew.
   */
  arrivals: {
    sitting: string;
    alias: string;
    audience: string;
    ready: boolean;
    again: boolean;
    stage: string;
    nextSeat: number;
  }[];
  seats: DeskSeat[];
  incidentCategories: { value: string; label: string }[];
  voidReasons: { value: string; label: string }[];
}

export type Hand =
  /** `covered`: out of its carrier, since its code would tell the listener which of two samples it is. POST hand-over {sitting, give, takeBack}: one tap does both. takeBack null: nothing is out at that seat. */
  | {
      kind: 'swap';
      sitting: string;
      seat: number;
      give: string;
      takeBack: string | null;
      practice: boolean;
      covered: boolean;
    }
  /** POST take-back {sitting, code}: the seat is done with it and what comes next is not free, or nothing comes. */
  | { kind: 'take-back'; sitting: string; seat: number; code: string }
  /** The seat waits; nothing can be done until this code's sample is free. */
  | { kind: 'held-up'; sitting: string; seat: number; code: string; sentence: string };

export interface DeskSeat {
  sitting: string;
  seat: number;
  alias: string;
  audience: string;
  /** "waiting for 417", "fitting 417", "listening to 417", "answering", "done", "stopped". */
  now: string;
  /** The code of the sample that is out at this seat. */
  holding: string | null;
  progress: string;
  state: 'seated' | 'finished' | 'out';
  /** The trial under way, which can be voided (POST void {trial, reason, text}); null when there is none. */
  trial: string | null;
  /** The codes that were out in that trial so far. Between two trials it is the one before, so the desk must say which. */
  trialCodes: string[];
  /** POST seat-out {sitting} / POST seat-again {sitting}. */
  canLeave: boolean;
  canReturn: boolean;
}

/** GET /studies/:id/run/panel: every member, and when they may come. Times only: no answers, no samples, no health. */
export interface PanelPage extends StaffFrame {
  base: string;
  barred: { sentence: string } | null;
  /** The plan's rules for coming back, in a sentence; empty for a draft. */
  rules: string;
  groups: PanelGroup[];
  running: boolean;
}

export interface PanelGroup {
  title: string;
  members: PanelMember[];
}

export interface PanelMember {
  listener: string;
  alias: string;
  audience: string;
  /** "2 of 4". */
  done: string;
  last: string | null;
  /** "from Tue 3 Mar, 14:10" and "until Mon 16 Mar, 10:00", each if there is such a time. */
  when: string[];
  /** Whether a card can be made: POST card {listener}. */
  card: boolean;
}

/** The answer to POST /studies/:id/run/card {listener, replaces}: printed, cut out, handed over. Shown once. */
export interface CardPage extends StaffFrame {
  base: string;
  back: string;
  listener: string;
  /** What a card that ends this one and all before would send as `replaces`; null when this card has done so. */
  replaces: string | null;
  alias: string;
  link: string;
  qrSvg: string;
  when: string;
}

/** POST /studies/:id/run/close-session asks first when sittings are unfinished. */
export interface CloseSessionPage extends StaffFrame {
  base: string;
  number: number;
  unfinished: { seat: number | null; alias: string; progress: string }[];
}
