import { createHash } from 'node:crypto';

/** Words to tick, as they are typed: one a line, and what is meant by a word after a colon where that needs saying. */
export interface TickedWord {
  id: string;
  name: string;
  definition?: string;
}

/** What stands in the lines, in their order; empty ones are passed over. */
export function tickedWords(typed: string): TickedWord[] {
  const taken = new Set<string>();
  return typed
    .split(/\r\n|\r|\n/)
    .map((line) => line.trim())
    .filter((line) => line !== '')
    .map((line) => {
      const colon = line.indexOf(':');
      const name = (colon < 0 ? line : line.slice(0, colon)).trim();
      const definition = colon < 0 ? '' : line.slice(colon + 1).trim();
      return { id: idOf(name, taken), name, ...(definition === '' ? {} : { definition }) };
    });
}

/** A colon in a word itself would be read as its end. */
export const asTyped = (words: readonly Omit<TickedWord, 'id'>[]): string =>
  words
    .map(({ name, definition }) => [name.replace(/\s*:\s*/g, ' – '), ...(definition === undefined ? [] : [definition])])
    .map((parts) => parts.join(': '))
    .join('\n');

/**
 * The word itself, as far as an id takes it, since ids stand in tables that people read. The same word has the same one
 * wherever it stands, so that to move a line moves no verdict; one that stands there twice is refused by its name. Letters
 * of other scripts, of which nothing would be left, go into a sum at its end.
 */
function idOf(name: string, taken: Set<string>): string {
  const bare = name.normalize('NFKD').toLowerCase().replace(/\p{M}/gu, '');
  const plain = bare.replace(/[^a-z0-9]+/g, '-').replace(/^[^a-z]+|-+$/g, '');
  const told = plain !== '' && !/[^a-z\P{L}]/u.test(bare);
  const whole = told ? plain.slice(0, 36) : `${(plain || 'word').slice(0, 27)}-${sumOf(bare)}`;
  let id = whole;
  for (let n = 2; taken.has(id); n++) id = `${whole}-${n}`;
  taken.add(id);
  return id;
}

const sumOf = (text: string): string => createHash('sha256').update(text).digest('hex').slice(0, 8);
