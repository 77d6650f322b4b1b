import { z } from 'zod';
import { presentationsMost } from './wire/pieces';

/**
 * Everything that crosses between a phone or a desk and the server while a session runs, written once.
 *
 * A phone MUST give each act an id of its own and MUST send it again, unchanged, until it is acknowledged.
 * The server MUST store an act durably before it acknowledges it, and MUST answer a repeated id as the first time.
 * A phone MAY send acts by HTTP POST (`/listen/act`) when it has no socket: same body, same answer.
 * Nothing here can express what a sample is: samples have codes, and codes only.
 */

/** Times as the phone saw them. The monotonic clock stands still while a phone sleeps, so both are kept. */
export const phoneTimesSchema = z.strictObject({
  /**
   * Milliseconds by the phone's monotonic clock from the last `fits` of the same trial (from that tap on the sample
   * may play; in a first impression from `plays`, the tap at the first sound) to this act. Null for `rested`, `fits`,
   * `refit` and `plays`, and when the page was loaded anew since: a new page has a new clock. `wall` bridges that gap,
   * if less surely.
   */
  sincePlaying: z.number().min(0).max(86_400_000).nullable(),
  /** Milliseconds since 1970 by the phone's wall clock. */
  wall: z.number().min(0).max(8.64e15),
});
export type PhoneTimes = z.infer<typeof phoneTimesSchema>;

const base = {
  id: z.string().regex(/^[a-z0-9]{20,40}$/, '20 to 40 small letters and digits'),
  trial: z.string().min(1).max(40),
  times: phoneTimesSchema,
};
const presentation = z.int().min(1).max(presentationsMost);

export const wordsLimit = 300;
/** Half a sign that takes two is no text: it couldn't be written to the ledger, and the act would come again for ever. */
const words = z
  .string()
  .trim()
  .max(wordsLimit)
  .refine(
    (text) => !/\p{Surrogate}/u.test(text),
    'These words hold half a sign. Delete the last one and type it anew.',
  );

/** What a player says of itself, by its own audio clock. */
const sound = z.strictObject({
  /** Milliseconds that each sample really sounded, in the order of the trial; of one sample, one number. */
  heardMs: z.array(z.number().min(0).max(86_400_000)).min(1).max(presentationsMost),
  /** Samples a second that the output really has; null where that can't be told. */
  rate: z.int().min(1000).max(768_000).nullable(),
  switches: z.int().min(0).max(100_000),
});
export type SoundReport = z.infer<typeof sound>;

/** Hidden page or locked phone; output suspended by a call or the system; another output; a clock that stands still. */
export const interruptions = ['hidden', 'suspended', 'output', 'stalled'] as const;
export type Interruption = (typeof interruptions)[number];

/** One scale as it was rated; `touched` is its first touch, whatever was changed later. */
const rating = z.strictObject({
  scale: z.string().min(1).max(40),
  value: z.int().min(-10).max(10),
  touched: phoneTimesSchema,
});
export type SentRating = z.infer<typeof rating>;

export const actSchema = z.discriminatedUnion('kind', [
  /** The rest before a first impression is over. */
  z.strictObject({ ...base, kind: z.literal('rested'), presentation }),
  /** Left and right are the right way round and it seals: the sample may start. */
  z.strictObject({ ...base, kind: z.literal('fits'), presentation }),
  /** It didn't seal; the listener takes it out and puts it in again. Counted, by code. */
  z.strictObject({ ...base, kind: z.literal('refit'), presentation }),
  /** The first sound of a first impression: its window and the time for rating begin. */
  z.strictObject({ ...base, kind: z.literal('plays'), presentation }),
  /** The page was loaded anew, or on another device, while a first impression was being rated. */
  z.strictObject({ ...base, kind: z.literal('resumed'), presentation }),
  /** The page's own sound was interrupted. */
  z.strictObject({
    ...base,
    kind: z.literal('interrupted'),
    presentation,
    what: z.enum(interruptions),
    sound: sound.optional(),
  }),
  /** All scales of a first impression. */
  z.strictObject({
    ...base,
    kind: z.literal('rate'),
    ratings: z.array(rating).min(1).max(12),
    sound: sound.optional(),
  }),
  /** The listener has heard this presentation and needs the next one. */
  z.strictObject({ ...base, kind: z.literal('heard'), presentation, sound: sound.optional() }),
  /** The answer to the trial in one word, as its form has it: see protocols/form.ts. The longest is eight codes in order. */
  z.strictObject({ ...base, kind: z.literal('answer'), answer: z.string().min(1).max(40), sound: sound.optional() }),
  /**
   * Grades of samples by their place in the trial, from 1: of all that are graded, or of the one under way where they
   * come one by one and more follow. `ticks`: of each graded sample, where words are ticked; an empty list says none.
   */
  z.strictObject({
    ...base,
    kind: z.literal('grade'),
    presentation,
    grades: z
      .array(
        // What is no point of its scale is refused by the scale, which can say so.
        z.strictObject({ place: presentation, scale: z.string().min(1).max(40), value: z.number().min(-1e4).max(1e4) }),
      )
      .max(72),
    ticks: z
      .array(z.strictObject({ place: presentation, attributes: z.array(z.string().min(1).max(40)).max(24) }))
      .max(12),
    sound: sound.optional(),
  }),
  /** Optional words about the samples of the trial; an empty list skips. */
  z.strictObject({
    ...base,
    kind: z.literal('words'),
    words: z.array(z.strictObject({ code: z.string().min(1).max(10), text: words })).max(12),
  }),
]);
export type Act = z.infer<typeof actSchema>;
export type ActKind = Act['kind'];

/** Where a phone is now: the page part that it shows, and enough to tell two places apart. */
export interface Place {
  /** Grows with every change of this sitting; a phone drops a place older than the one it shows. */
  version: number;
  /** Server-rendered part of the page. */
  html: string;
}

export type ActReply =
  /** `apart`: it came after its session or study was closed, so it is kept and doesn't count. */
  | { ok: true; place: Place; apart?: true }
  | { ok: false; error: { code: string; message: string; path: string }; place: Place | null };

export interface PhoneToServer {
  act: (act: unknown, acknowledge: (reply: ActReply) => void) => void;
  /** A phone that was away asks where it is. */
  where: (acknowledge: (place: Place | null) => void) => void;
}
export interface ServerToPhone {
  place: (place: Place) => void;
}
/** The desk acts by forms; its socket only says that something changed, and the page part is fetched anew. */
export type DeskToServer = Record<string, never>;
export interface ServerToDesk {
  changed: (version: number) => void;
}
