import { z } from 'zod';
import { phoneFrame } from './frames';
import { placePart } from './phone-part';
import {
  address,
  aliasLength,
  days,
  formLength,
  joinPath,
  listenerId,
  moment,
  ownLink,
  qrSvg,
  said,
  saidTogether,
  text,
  typed,
  version,
} from './pieces';

/** Every page of the room listen; see pieces.ts for how to add to it. */

const error = typed('form', formLength).nullable();
const field = <Name extends string>(name: Name, by: 'form' | 'alias') =>
  z.strictObject({ id: z.literal(name), name: z.literal(name), value: typed(by, formLength), error });

/** GET /j: type the short code by hand. Form: POST /j {code}. */
export const findSessionPage = z.strictObject({ ...phoneFrame('find.title'), code: field('code', 'form') });

/** GET /j/:code: who are you? Form: POST /j/:code {alias, audience, seen: 'yes'|'no'}. One page, once. */
export const joinPage = z.strictObject({
  ...phoneFrame('join.title'),
  action: joinPath,
  /** Null for a listener whom this server knows already (by cookie): then only the audience is asked. */
  alias: field('alias', 'alias').nullable(),
  knownAlias: typed('alias', aliasLength).nullable(),
  /** Null when the study has one audience only. `place` is where it stands in the plan, from 1; parts of a plan have ids of one kind. */
  audiences: z
    .array(z.strictObject({ place: z.int().min(1).max(6), name: typed('plan', 60), chosen: z.boolean() }))
    .max(6)
    .nullable(),
  audienceError: error,
  /** Whether this person has loaded or seen the samples of this study: the honest question to a preparer. */
  seen: z.strictObject({ error, chosen: z.enum(['yes', 'no']).nullable().optional() }),
});

/** Shown once after joining: the personal link that brings the listener back. Continue: GET /listen. */
export const personalLinkPage = z.strictObject({ ...phoneFrame('link.title'), link: ownLink, qrSvg });

const notNowHeadings = ['next.early.title', 'next.over.title', 'next.complete.title'] as const;

/** GET and POST /j/:code for a listener who may not sit now: too early, past the span, or had all. */
export const notNowPage = z.strictObject({
  ...phoneFrame(...notNowHeadings),
  heading: said(...notNowHeadings),
  lead: said('next.early.text', 'next.over.text', 'next.over.all', 'next.complete.text'),
  /** From when it is possible, large; null when it isn't any more. */
  from: moment.nullable(),
  after: said('next.early.come', 'next.thanks'),
  /** The way to the listener's own link, for whoever comes back later; null for whoever doesn't. */
  link: text(/^\/listen\/link$/).nullable(),
});

/** GET /listen: the frame around one place, which is also what travels by socket. */
export const listenPage = z.strictObject({
  ...phoneFrame('place.title', 'check-in.title', 'consent.title'),
  version,
  /** Whose place it is: what a phone keeps until it is sent is kept apart by listener. Empty for nobody. */
  listener: z.union([listenerId, z.literal('')]),
  part: placePart,
});

/**
 * GET /listen/history: where a listener took part, and, of studies that are over and open, how steadily. Dates and counts
 * alone: no title, no sample, and nothing of a study whose answers are closed.
 */
export const historyPage = z.strictObject({
  ...phoneFrame('history.title'),
  studies: z.array(
    z.strictObject({
      days,
      sittings: said('history.sittings'),
      /** Why there is nothing; null where there is something. */
      state: said('history.sealed', 'history.working', 'history.few').nullable(),
      lines: z
        .array(
          saidTogether(
            'history.same',
            'history.known',
            'history.right',
            'history.right.plain',
            'history.order',
            'history.points',
            'history.middle.share',
            'history.middle.points',
            'history.few.beside',
          ),
        )
        .max(5),
    }),
  ),
});

/** GET /help: "My phone can't reach this", public, also useful printed. */
export const helpPage = z.strictObject({
  title: said('help.title'),
  urls: z.array(address).max(50),
});

export type FindSessionPage = z.infer<typeof findSessionPage>;
export type JoinPage = z.infer<typeof joinPage>;
export type PersonalLinkPage = z.infer<typeof personalLinkPage>;
export type NotNowPage = z.infer<typeof notNowPage>;
export type ListenPage = z.infer<typeof listenPage>;
export type HistoryPage = z.infer<typeof historyPage>;
export type HelpPage = z.infer<typeof helpPage>;
