import { z } from 'zod';
import { type DeskWord, deskWords } from '../words/desk';
import { type Mishap, mishaps } from '../words/mishaps';
import {
  aliasLength,
  code,
  count,
  csrf,
  joinCode,
  joinLink,
  minute,
  oneOf,
  presentationsMost,
  qrSvg,
  seat,
  sittingId,
  text,
  trialId,
  typed,
  version,
} from './pieces';

/**
 * All that the desk can be shown: codes and progress, never identities, never answers; see pieces.ts for how to add to
 * it. The view models of server/run have their types from here, and what doesn't fit is not rendered.
 *
 * The part `desk` is fetched anew (GET /studies/:id/run/part) whenever the socket says that something changed. Every
 * action is a form: POST /studies/:id/run/<action> with the hidden fields given.
 */

export const deskSaid = (...keys: readonly DeskWord[]) => oneOf(...keys.map((key) => deskWords[key]));
/** Every sentence of one heading. */
export const deskSaidOf = (heading: string) =>
  deskSaid(...(Object.keys(deskWords) as DeskWord[]).filter((key) => key.split('.')[0] === heading));

/** `/studies/…` */
export const studyBase = text(/^\/studies\/[0-7][0-9A-HJKMNP-TV-Z]{25}$/);
export const alias = typed('alias', aliasLength);
export const audience = typed('plan', 60);
export const progress = deskSaidOf('progress');

const mishap = (...keys: readonly Mishap[]) => z.enum(keys.map((key) => mishaps[key]));
const labelled = <Value extends Mishap>(values: readonly Value[]) =>
  z.array(z.strictObject({ value: z.enum(values), label: mishap(...values) })).max(values.length);

export const voidReasons = ['wrong-sample', 'sample-fault', 'disturbed', 'other'] as const;
export const incidentCategories = ['noise', 'sample-fault', 'broke-rest', 'talk', 'ears', 'other'] as const;

const hand = z.discriminatedUnion('kind', [
  /**
   * POST hand-over {sitting, give, takeBack}: one tap does both. takeBack null: nothing is out at that seat.
   * `covered`: out of its carrier, since its code would tell the listener which of two samples it is.
   */
  z.strictObject({
    kind: z.literal('swap'),
    sitting: sittingId,
    seat,
    give: code,
    takeBack: code.nullable(),
    practice: z.boolean(),
    covered: z.boolean(),
  }),
  /** POST take-back {sitting, code}: the seat is done with it and what comes next is not free, or nothing comes. */
  z.strictObject({ kind: z.literal('take-back'), sitting: sittingId, seat, code }),
  /** The seat waits; nothing can be done until this code's sample is free. */
  z.strictObject({ kind: z.literal('held-up'), sitting: sittingId, seat, code, sentence: deskSaidOf('held-up') }),
]);

const deskSeat = z.strictObject({
  sitting: sittingId,
  seat,
  alias,
  audience,
  /** "waiting for 417", "fitting 417", "listening to 417", "answering", "done", "stopped". */
  now: deskSaidOf('now'),
  /** The code of the sample that is out at this seat. */
  holding: code.nullable(),
  progress,
  state: z.enum(['seated', 'finished', 'out']),
  /** The trial under way, which can be voided (POST void {trial, reason, text}); null when there is none. */
  trial: trialId.nullable(),
  /** The codes that were out in that trial so far. Between two trials it is the one before, so the desk must say which. */
  trialCodes: z.array(code).max(presentationsMost),
  /** POST seat-out {sitting} / POST seat-again {sitting}. */
  canLeave: z.boolean(),
  canReturn: z.boolean(),
});

/**
 * Joined, waiting for a seat (POST seat {sitting}). `ready` once check-in and consent are done. `again`: put off at
 * check-in, why is nobody's business here; POST check-in-again {sitting} lets them check in anew.
 */
const arrival = z.strictObject({
  sitting: sittingId,
  alias,
  audience,
  ready: z.boolean(),
  again: z.boolean(),
  stage: deskSaidOf('stage'),
  nextSeat: seat,
  /** Much of what a week allows was taken in already. */
  dose: deskSaidOf('dose').nullable(),
  /** Was asked about the same product not long ago, in another study. */
  lately: deskSaidOf('lately').nullable(),
});

const deskSession = z.strictObject({
  number: count,
  state: z.enum(['open', 'paused']),
  joinUrl: joinLink,
  joinCode,
  joinQrSvg: qrSvg,
  /** Other addresses of this machine, for phones that can't reach the first. */
  otherUrls: z.array(joinLink).max(50),
  /** What needs a hand now, most urgent first. */
  hands: z.array(hand),
  arrivals: z.array(arrival),
  seats: z.array(deskSeat),
  incidentCategories: labelled(incidentCategories),
  voidReasons: labelled(voidReasons),
});

/** Somebody may not work here. */
export const barred = z.strictObject({ sentence: deskSaidOf('barred') }).nullable();

export const deskPart = z.strictObject({
  base: studyBase,
  csrf,
  version,
  /** No session yet or the last is closed: offer to open one (POST open-session), or say why not. */
  openable: z.strictObject({
    allowed: z.boolean(),
    number: count,
    reason: deskSaidOf('openable').nullable(),
    /** Something is loaded and handed over. */
    carriers: z.boolean(),
    /** Levels that nobody has signed for: POST open-session wants {deviation}, the reason. Of units only how many. */
    uncovered: z.array(deskSaid('openable.levels', 'openable.levels-1', 'openable.loud')).max(2),
  }),
  /** The operator may not work here: opened a sheet. Form: POST single-blind {reason}. */
  barred,
  session: deskSession.nullable(),
  /** Who may come now, overdue first; null while a session is open or nobody can come any more. */
  due: z.array(z.strictObject({ alias, audience, overdue: z.boolean() })).nullable(),
  closedSessions: z.array(
    z.strictObject({
      number: count,
      openedAt: minute,
      closedAt: minute,
      finished: count,
      cut: count,
      postponed: count,
    }),
  ),
  incidents: z.array(
    z.strictObject({
      at: minute,
      category: mishap(...incidentCategories),
      text: typed('desk', 300),
      seat: seat.nullable(),
    }),
  ),
});

export type Desk = z.infer<typeof deskPart>;
export type DeskSession = z.infer<typeof deskSession>;
export type DeskSeat = z.infer<typeof deskSeat>;
export type Hand = z.infer<typeof hand>;
