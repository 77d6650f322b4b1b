import type { ListenersOf } from '../../../shared/findings-listeners';
import { pWords } from '../figures';

export type Note = ListenersOf<'right'>['listeners'][number]['note'];

export const heading = 'Who answered how';
/** Among the first words of each of these sections. */
export const describes = 'It explores, decides nothing and leaves nobody out.';

export const noteCell: Record<NonNullable<Note>, string> = {
  'at-random': 'tells none apart',
  'the-other-way': 'the other way round',
};

export const noteWords = (note: Note): string => (note === null ? '' : noteCell[note]);

/** The same of answers that are right or wrong. */
export const heardNote = (note: Note): string =>
  note === null ? '' : note === 'at-random' ? 'not shown to hear it' : noteCell[note];

export const noted = (listeners: readonly { listener: string; note: Note }[], note: NonNullable<Note>): string[] =>
  listeners.filter((one) => one.note === note).map(({ listener }) => listener);

export const pSaid = (p: number | null): string => `p\u00a0${p === null || p < 0.001 ? pWords(p) : `= ${pWords(p)}`}`;

export const joined = (names: readonly string[]): string =>
  names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;

/** A column that has something in it. */
export interface Column<T> {
  head: string;
  cell: (one: T) => string;
  shown?: boolean;
}

export const columnsOf = <T>(columns: readonly Column<T>[]): Column<T>[] => columns.filter(({ shown = true }) => shown);

export const ofWords = (part: number, whole: number): string => `${part} of ${whole}`;

const mostNames = 8;

/** Names, or of many how many of all. */
export const named = (names: readonly string[], all: number): string =>
  names.length > mostNames ? `${names.length} of ${all} listeners` : joined(names);
