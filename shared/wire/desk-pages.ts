import { z } from 'zod';
import { words } from '../words/en';
import { alias, audience, barred, deskPart, deskSaidOf, progress, studyBase } from './desk';
import { deskFrame } from './frames';
import { count, hash, listenerId, minute, ownLink, patternOf, qrSvg, seat, text } from './pieces';

/** Every page of the room run; see pieces.ts for how to add to it. */

/** GET /studies/:id/run */
export const deskPage = z.strictObject({ ...deskFrame('title.run'), desk: deskPart });

const panelMember = z.strictObject({
  listener: listenerId,
  alias,
  audience,
  /** "2 of 4". */
  done: progress,
  last: minute.nullable(),
  /** "from Tue 3 Mar, 14:10" and "until Mon 16 Mar, 10:00", each if there is such a time. */
  when: z.array(deskSaidOf('panel')).max(2),
  /** Was asked about the same product not long ago, in another study. */
  lately: deskSaidOf('lately').nullable(),
  /** Whether a card can be made: POST card {listener}. */
  card: z.boolean(),
});

const panelGroup = z.strictObject({ title: deskSaidOf('panel'), members: z.array(panelMember) });

const hours = '\\d+(?:\\.\\d+)?';
const rules = text(
  new RegExp(
    `^(?:One sitting each\\.|\\d+ sittings each(?:, at least ${hours} hours? apart)?(?:, within ${hours} days? of the first)?\\. A session missed is (?:lost|made up for in a later one)\\.)?$`,
  ),
);

/** GET /studies/:id/run/panel: every member, and when they may come. Times only: no answers, no samples, no health. */
export const panelPage = z.strictObject({
  ...deskFrame('title.panel'),
  base: studyBase,
  barred,
  /** The plan's rules for coming back, in a sentence; empty for a draft. */
  rules,
  groups: z.array(panelGroup),
  running: z.boolean(),
});

const cardWhen = [words['card.when.next'], words['card.when.from']].map(patternOf).join('|');
const cardUntil = patternOf(words['card.when.until']);

/** The answer to POST /studies/:id/run/card {listener, replaces}: printed, cut out, handed over. Shown once. */
export const cardPage = z.strictObject({
  ...deskFrame('title.card'),
  base: studyBase,
  back: text(/^\/studies\/[0-7][0-9A-HJKMNP-TV-Z]{25}\/run\/panel$/),
  listener: listenerId,
  /** What a card that ends this one and all before would send as `replaces`; null when this card has done so. */
  replaces: hash.nullable(),
  alias,
  link: ownLink,
  qrSvg,
  when: text(new RegExp(`^(?:${patternOf(words['card.when.none'])}|(?:${cardWhen})(?: ${cardUntil})?)$`)),
});

/** POST /studies/:id/run/close-session asks first when sittings are unfinished. */
export const closeSessionPage = z.strictObject({
  ...deskFrame('title.close'),
  base: studyBase,
  number: count,
  unfinished: z.array(z.strictObject({ seat: seat.nullable(), alias, progress })),
});

export type DeskPage = z.infer<typeof deskPage>;
export type PanelPage = z.infer<typeof panelPage>;
export type PanelGroup = z.infer<typeof panelGroup>;
export type PanelMember = z.infer<typeof panelMember>;
export type CardPage = z.infer<typeof cardPage>;
export type CloseSessionPage = z.infer<typeof closeSessionPage>;
