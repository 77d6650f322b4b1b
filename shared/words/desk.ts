import type { Code } from '../brands';

/**
 * Every sentence that the server puts together for the desk. They stand here and not where they are said, so that the
 * wire schema (shared/wire/desk.ts) lets through these and no others: one with anything else in it isn't shown.
 */
export const deskWords = {
  'title.run': 'Run',
  'title.panel': 'Panel',
  'title.close': 'Close the session',
  'title.card': 'Card for {alias}',

  'openable.draft': 'Lock the plan first. Then a session can be opened.',
  'openable.closed': 'This study is closed: no new sessions.',
  'openable.open': 'A session is open.',
  'openable.all-held':
    'All {count} sessions of this study were held, and by its plan what was missed is lost. Close the study under Review.',
  'openable.no-sheet': 'Nobody has opened the preparation sheet of session {number} yet, so no carrier can be loaded.',
  'openable.outdated':
    'The plan was amended after the sheet of session {number} had been opened, so its carriers are out of date. Let the preparer empty them and open the sheet anew first.',

  'openable.levels-1':
    'The level of one unit is missing, too old or too far from the others. Let whoever prepares measure it (Prepare, Levels), or say why the session opens all the same.',
  'openable.levels':
    'The levels of {count} units are missing, too old or too far apart. Let whoever prepares measure them (Prepare, Levels), or say why the session opens all the same.',
  'openable.loud':
    'By the estimate it is louder, or goes on for longer, than is planned for. Let whoever prepares lower it (Prepare, Listening level), or say why the session opens all the same.',
  'openable.sound':
    'The sound of this study is not ready: files, cut or match are missing. Let whoever prepares finish it first (Prepare, Sound).',

  'barred.sheet':
    'You have opened the preparation sheet of this study, so its desk is not for you: a look or a word could tell. Let somebody else run it.',
  'barred.code':
    'You have had a code of this study revealed, so its desk is not for you: a look or a word could tell. Let somebody else run it.',
  'barred.preparer':
    'You are the preparer of this study, so its desk is not for you: a look or a word could tell. Let somebody else run it.',
  'barred.panel':
    'You sit on the panel of this study, and its desk sees which answers are right, so it is not for you. Let somebody else run it.',

  'held-up.at-seat': 'Waits for {code}, which is at seat {seat}.',
  'held-up': 'Waits for {code}, which is not free yet.',

  'stage.arrived': 'checking in',
  'stage.checked-in': 'reading the cautions',
  'stage.ready': 'ready',
  'stage.postponed': 'postponed at check-in',

  'dose.warn': 'by the estimate half of a week’s sound or more',
  'dose.hold': 'by the estimate all of a week’s sound: another day',
  'lately.product': 'in another study of this product {count} days ago',

  'now.done': 'done',
  'now.stopped': 'stopped',
  'now.scales': 'trying the scales',
  'now.waiting': 'waiting for {code}',
  'now.resetting': 'resting before {code}',
  'now.starting': 'starting {code}',
  'now.rating': 'rating {code}',
  'now.fitting': 'fitting {code}',
  'now.listening': 'listening to {code}',
  'now.answering': 'answering',
  'now.comparing': 'comparing',

  'progress.practice': 'practice',
  'progress.scored': '{done} of {all}',
  'progress.unseated': 'not seated',

  'panel.here': 'Here now',
  'panel.overdue': 'Overdue',
  'panel.due': 'Due',
  'panel.too-early': 'Too early',
  'panel.complete': 'Finished',
  'panel.over': 'No longer possible',
  'panel.not-finished': 'Not finished',
  'panel.from': 'from {from}',
  'panel.until': 'until {until}',
} as const;
export type DeskWord = keyof typeof deskWords;

interface Places {
  code: Code;
  seat: number;
  number: number;
  count: number;
  done: number;
  all: number;
  alias: string;
  from: string;
  until: string;
}
type PlaceIn<Sentence extends string> = Sentence extends `${string}{${infer Place}}${infer Rest}`
  ? Place | PlaceIn<Rest>
  : never;
type Values<Key extends DeskWord> = { [Place in PlaceIn<(typeof deskWords)[Key]> & keyof Places]: Places[Place] };

/** The sentence under a key with its places filled; a code goes where a code may stand, and nothing else does. */
export function deskSay<Key extends DeskWord>(
  key: Key,
  ...values: keyof Values<Key> extends never ? [] : [Values<Key>]
): string {
  const given: Partial<Record<string, string | number>> = values[0] ?? {};
  return deskWords[key].replace(/\{(\w+)\}/g, (_, place: string) => String(given[place]));
}
