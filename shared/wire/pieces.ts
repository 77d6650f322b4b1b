import { z } from 'zod';
import type { Code, ListenerId, SittingId, StudyId, TrialId, Unbranded } from '../brands';
import { type WordKey, words } from '../words/en';

/**
 * What models for phones and the desk are made of. Every text in them is one of these, and none of these can say what
 * a sample is: a code has three digits, an id is a ULID (parts of a plan have shorter ones), a sentence is one of a
 * closed set with places for codes, numbers and times. `typed` alone is free, and names who types it.
 *
 * To show something new on a phone or the desk: put its sentence into shared/words, and its field into the schema
 * beside this file from which the view model's type comes. What isn't there is neither compiled nor rendered.
 */

/** Text that must match, with no brand, so that no id fits its type. */
export const text = (pattern: RegExp): z.ZodType<Unbranded, Unbranded> =>
  z.string().regex(pattern) as unknown as z.ZodType<Unbranded, Unbranded>;

const branded = <Id extends string>(pattern: RegExp): z.ZodType<Id, Id> =>
  z.string().regex(pattern) as unknown as z.ZodType<Id, Id>;

/** What a person types to be read here: whoever it is stands in the list of `tests/shared/wire/planted.test.ts`. */
export const typed = (by: TypedBy, max: number): z.ZodType<Unbranded, Unbranded> =>
  z.string().max(max).meta({ typed: by }) as unknown as z.ZodType<Unbranded, Unbranded>;

export const typedBy = [
  /** By a listener, about themselves. */
  'alias',
  /** By the planner, for listeners to read: audiences, scales, the neutral piece. */
  'plan',
  /** By the operator, at the desk. */
  'desk',
  /** By a member of the team: their own name, the title of the study, why it is single blind. */
  'team',
  /**
   * By the server, about a form that was just sent and in answer to it. It quotes what was typed into that form, and is
   * put together in rooms that hold no key and no names, see tests/house/blindness.ts.
   */
  'form',
] as const;
export type TypedBy = (typeof typedBy)[number];

/** A form as long as the server takes one is answered, and quoted, too. */
export const formLength = 70_000;

/** Samples of one trial: twelve that are graded, and a reference that everybody knows. */
export const presentationsMost = 13;

/** 40 signs as typed, which may be more once they are put together anew. */
export const aliasLength = 160;

const codeDigits = '[1-9]\\d\\d';
export const code = branded<Code>(new RegExp(`^${codeDigits}$`));

const ulid = /^[0-7][0-9A-HJKMNP-TV-Z]{25}$/;
export const trialId = branded<TrialId>(ulid);
export const sittingId = branded<SittingId>(ulid);
export const listenerId = branded<ListenerId>(ulid);
export const studyId = branded<StudyId>(ulid);

/** The token of forms, and what links hold: 256 bits in base64url. */
const token = '[A-Za-z0-9_-]{43}';
export const csrf = text(new RegExp(`^${token}$`));
export const hash = text(/^[0-9a-f]{64}$/);

const origin = 'https?://[A-Za-z0-9.:[\\]-]+';
const joinLetters = '[BCDFGHJKMNPQRSTVWXZ]{5}';
export const joinCode = text(new RegExp(`^${joinLetters}$`));
export const joinPath = text(new RegExp(`^/j/${joinLetters}$`));
export const joinLink = text(new RegExp(`^${origin}/j/${joinLetters}$`));
export const ownLink = text(new RegExp(`^${origin}/me/${token}$`));
export const address = text(new RegExp(`^${origin}/?$`));

const svgPath = '<path (?:fill|stroke)="#[0-9a-f]{3,6}" d="[MmHhVvZz0-9 .-]*"/>';
/** Squares and nothing else. */
export const qrSvg = text(
  new RegExp(
    `^<svg xmlns="http://www\\.w3\\.org/2000/svg" viewBox="0 0 \\d+ \\d+" shape-rendering="crispEdges">(?:${svgPath})+</svg>\\s*$`,
  ),
);

const clock = '\\d\\d:\\d\\d';
const dayMonth = '\\d{1,2} [A-Z][a-z]{2,3}';
/** "2 Mar, 09:40"; nothing where there is no such time. */
export const minute = text(new RegExp(`^(?:${dayMonth},? ${clock})?$`));
/** "Tue 3 Mar, 14:10". */
const momentDigits = `[A-Z][a-z]{2} ${dayMonth}, ${clock}`;
export const moment = text(new RegExp(`^${momentDigits}$`));

/** "3 Mar 2026". */
const dayDigits = `${dayMonth} \\d{4}`;
/** "3 Mar 2026", "3 Mar 2026 to 12 Mar 2026". */
export const days = text(new RegExp(`^${dayDigits}(?: to ${dayDigits})?$`));

/** What may stand in the places of a sentence. An alias makes the sentence one that a person types into. */
const holes: Readonly<Record<string, string>> = {
  code: codeDigits,
  from: momentDigits,
  until: momentDigits,
  alias: `.{1,${aliasLength}}`,
  points: '\\d{1,3}\\.\\d',
  ...Object.fromEntries(
    ['seat', 'number', 'count', 'done', 'all', 'seconds', 'limit'].map((name) => [name, '\\d{1,4}']),
  ),
};

/** A sentence with places as a pattern without its ends. */
export function patternOf(sentence: string): string {
  const pieces = sentence.split(/\{(\w+)\}/);
  return pieces
    .map((piece, at) => {
      if (at % 2 === 0) return piece.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
      const hole = holes[piece];
      if (hole === undefined) throw new Error(`It isn't said what may stand in the place “${piece}” of a sentence.`);
      return hole;
    })
    .join('');
}

/** One of these sentences, with something fit in each of its places. */
export function oneOf(...sentences: readonly string[]): z.ZodType<Unbranded, Unbranded> {
  const one = z.string().regex(new RegExp(`^(?:${sentences.map(patternOf).join('|')})$`));
  const filled = sentences.some((sentence) => sentence.includes('{alias}')) ? one.meta({ typed: 'alias' }) : one;
  return filled as unknown as z.ZodType<Unbranded, Unbranded>;
}

/** One of these sentences for listeners, by key. */
export const said = (...keys: readonly WordKey[]): z.ZodType<Unbranded, Unbranded> =>
  oneOf(...keys.map((key) => words[key]));

/** Some of these sentences, one after the other. */
export function saidTogether(...keys: readonly WordKey[]): z.ZodType<Unbranded, Unbranded> {
  const one = `(?:${keys.map((key) => patternOf(words[key])).join('|')})`;
  return text(new RegExp(`^${one}(?: ${one})*$`));
}

export const progress = text(/^(?:Practice|\d{1,4} of \d{1,4})$/);
export const count = z.int().min(0).max(1_000_000);
export const seat = z.int().min(0).max(999);
/** Of a sitting or a study: what it grows by says how often something happened, and nothing of what. */
export const version = z.int().min(0);
