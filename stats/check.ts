import { StatsError } from './errors';
import { nearestName } from './nearest-name';

/** The three directions of a test, as every call names them. */
export const alternatives = ['greater', 'less', 'two-sided'] as const;
export type Alternative = (typeof alternatives)[number];

interface Range {
  min?: number;
  max?: number;
  /** Excludes both ends. */
  open?: boolean;
}

function inWords({ min, max, open }: Range): string {
  const [low, high] = [min, max].map((end) => end !== undefined && short(end));
  if (min !== undefined && max !== undefined) return open ? `between ${low} and ${high}` : `from ${low} to ${high}`;
  if (min !== undefined) return open ? `above ${low}` : `at least ${low}`;
  if (max !== undefined) return open ? `below ${high}` : `at most ${high}`;
  return 'any';
}

/** A bound as people write it: 1e15, not a one with fifteen noughts. */
const short = (bound: number) => {
  const [plain, brief] = [String(bound), bound.toExponential().replace('e+', 'e')];
  return brief.length < plain.length ? brief : plain;
};

const at = (path: string, key: string | number) => (path === '' ? String(key) : `${path}.${key}`);

/**
 * Refuses what is no object, and any name that the call doesn't know, with the nearest one that it does. `later` names
 * what is meant to come but isn't built, so that it is refused as such and not as a slip of the pen.
 */
export function options(
  value: unknown,
  names: readonly string[],
  path = '',
  later: Record<string, string> = {},
): asserts value is object {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new StatsError(value === undefined ? 'missing' : 'wrong-type', path, 'is no object', names.join(', '), value);
  }
  for (const name of Object.keys(value)) {
    if (names.includes(name)) continue;
    const advice = Object.hasOwn(later, name) ? later[name] : undefined;
    if (advice !== undefined) {
      throw new StatsError('not-supported', at(path, name), 'is not available yet', advice, Reflect.get(value, name));
    }
    const nearest = nearestName(name, names);
    const hint = nearest === null ? '' : `, did you mean ${nearest}`;
    throw new StatsError('unknown-option', at(path, name), `is no option here${hint}`, names.join(', '), name);
  }
}

/** A finite number in a range. */
export function number(value: unknown, path: string, range: Range = {}): number {
  return numeric(value, path, range, 'number', Number.isFinite);
}

/** A whole number in a range. */
export function whole(value: unknown, path: string, range: Range = {}): number {
  return numeric(value, path, range, 'whole number', Number.isSafeInteger);
}

function numeric(value: unknown, path: string, range: Range, kind: string, fits: (value: number) => boolean): number {
  const allowed = `a ${kind} ${inWords(range)}`;
  if (value === undefined || value === null) throw new StatsError('missing', path, 'is missing', allowed, value);
  if (typeof value !== 'number' || !fits(value)) {
    throw new StatsError('wrong-type', path, `is no ${kind}`, allowed, value);
  }
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY, open = false } = range;
  if (value < min || value > max || (open && (value === min || value === max))) {
    throw new StatsError('out-of-range', path, 'is out of range', allowed, value);
  }
  return value;
}

/** One of a set of words. `later` names those that are meant to come. */
export function choice<T extends string>(value: unknown, path: string, choices: readonly T[], later: string[] = []): T {
  const found = choices.find((word) => word === value);
  if (found !== undefined) return found;
  const allowed = choices.join(', ');
  if (value === undefined || value === null) throw new StatsError('missing', path, 'is missing', allowed, value);
  if (typeof value !== 'string') throw new StatsError('wrong-type', path, 'is no word', allowed, value);
  if (later.includes(value)) throw new StatsError('not-supported', path, 'is not available yet', allowed, value);
  const nearest = nearestName(value, choices);
  const hint = nearest === null ? '' : `, did you mean ${nearest}`;
  throw new StatsError('unknown-choice', path, `is no choice here${hint}`, allowed, value);
}

/** A list of at least `min` entries. */
export function list(value: unknown, path: string, min: number, of: string, max = 100_000): readonly unknown[] {
  const allowed = `a list of ${min} to ${max} ${of}`;
  if (value === undefined || value === null) throw new StatsError('missing', path, 'is missing', allowed, value);
  if (!Array.isArray(value)) throw new StatsError('wrong-type', path, 'is no list', allowed, value);
  if (value.length < min) {
    throw new StatsError('not-enough-data', path, 'has too few entries', allowed, `${value.length} entries`);
  }
  if (value.length > max) {
    throw new StatsError('out-of-range', path, 'has too many entries', allowed, `${value.length} entries`);
  }
  return value;
}

/** What names a listener, an item or a replicate in a table: a text, or a number that stands for its text. */
export function nameOf(value: unknown, path: string): string | number {
  if ((typeof value === 'string' && value !== '') || (typeof value === 'number' && Number.isFinite(value)))
    return value;
  const code = value === undefined || value === null ? 'missing' : 'wrong-type';
  throw new StatsError(code, path, 'is no name', 'a text that is not empty, or a number', value);
}

/** Names of items: at least two strings, none empty, none twice. */
export function itemNames(value: unknown, path: string): string[] {
  const names = list(value, path, 2, 'names', 1_000).map((name, i) => {
    if (typeof name === 'string' && name !== '') return name;
    throw new StatsError('wrong-type', at(path, i), 'is no name', 'a text that is not empty', name);
  });
  const twice = names.findIndex((name, i) => names.indexOf(name) !== i);
  if (twice >= 0) throw new StatsError('inconsistent', at(path, twice), 'occurs twice', 'each name once', names[twice]);
  return names;
}

export function flag(value: unknown, path: string): boolean {
  if (typeof value === 'boolean') return value;
  throw new StatsError('wrong-type', path, 'is no yes or no', 'true, false', value);
}

/** What a seed may be: a whole number of 32 bits, or a text. */
export function seedOf(value: unknown, path = 'seed'): number | string {
  if (typeof value === 'string' && value.length <= 200) return value;
  if (typeof value === 'string' || (typeof value === 'number' && !Number.isInteger(value))) {
    throw new StatsError('wrong-type', path, 'is no seed', 'a whole number from 0 to 4294967295, or a text', value);
  }
  return whole(value, path, { min: 0, max: 0xffffffff });
}

/** Correct answers out of trials, the input that most calls share. */
export function counts(correct: unknown, trials: unknown): { correct: number; trials: number } {
  const of = whole(trials, 'trials', { min: 1, max: 1e9 });
  return { correct: whole(correct, 'correct', { min: 0, max: of }), trials: of };
}

export const probability = (value: unknown, path: string) => number(value, path, { min: 0, max: 1, open: true });

/** Beyond this sums of squares would overflow. */
const largestFigure = 1e15;

/** What people measure or rate: a finite number. */
export const figure = (value: unknown, path: string): number =>
  number(value, path, { min: -largestFigure, max: largestFigure });

/** A list of figures. */
export const figures = (value: unknown, path: string, min = 1): number[] =>
  list(value, path, min, 'numbers').map((one, i) => figure(one, at(path, i)));

/** Two lists of figures of the same length, one pair an entry. */
export function pairs(first: unknown, second: unknown, min: number): { first: number[]; second: number[] } {
  const lists = { first: figures(first, 'first', min), second: figures(second, 'second', min) };
  if (lists.first.length !== lists.second.length) {
    const allowed = `as many entries as first, ${lists.first.length}`;
    throw new StatsError('inconsistent', 'second', 'differs in length', allowed, `${lists.second.length} entries`);
  }
  return lists;
}

interface Size {
  rows: number;
  columns: number;
  of?: string;
}

/** Rows of equal length, each cell read by `cell`; at least so many rows and columns. */
export function matrixOf<T>(
  value: unknown,
  path: string,
  { rows, columns, of = 'numbers' }: Size,
  cell: (value: unknown, path: string) => T,
): T[][] {
  const table = list(value, path, rows, 'rows').map((row, i) =>
    list(row, at(path, i), columns, of).map((one, j) => cell(one, at(at(path, i), j))),
  );
  const width = table[0]?.length ?? 0;
  const ragged = table.findIndex((row) => row.length !== width);
  if (ragged >= 0) {
    const got = `${table[ragged]?.length} entries`;
    throw new StatsError('inconsistent', at(path, ragged), 'differs in length', `${width} entries as row 0`, got);
  }
  return table;
}

/** A full matrix of figures. */
export const matrix = (value: unknown, path: string, size: Size): number[][] => matrixOf(value, path, size, figure);

/** A matrix of figures with gaps: `null` where there is none. */
export const gappedMatrix = (value: unknown, path: string, size: Size): (number | null)[][] =>
  matrixOf(value, path, { ...size, of: 'numbers or null' }, (cell, where) =>
    cell === null ? null : figure(cell, where),
  );
