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
 * wherever it stands, so that to move a line moves no verdict; one that stands there twice is refused by its name.
 */
function idOf(name: string, taken: Set<string>): string {
  const plain = name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/\p{M}/gu, '')
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^[^a-z]+|-+$/g, '')
    .slice(0, 36);
  const stem = plain === '' ? 'word' : plain;
  let id = stem;
  for (let n = 2; taken.has(id); n++) id = `${stem}-${n}`;
  taken.add(id);
  return id;
}
