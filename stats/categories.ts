import { figure, list } from './check';
import { StatsError } from './errors';

/** What a nominal answer may be. */
export type Category = string | number;

export function category(value: unknown, path: string): Category {
  if (typeof value === 'string') {
    if (value !== '') return value;
    throw new StatsError('wrong-type', path, 'is an empty text', 'a text or a number', value);
  }
  if (typeof value === 'number' && Number.isFinite(value)) return figure(value, path);
  const code = value === undefined || value === null ? 'missing' : 'wrong-type';
  throw new StatsError(code, path, 'is no category', 'a text or a number', value);
}

export const categoryList = (value: unknown, path: string, min: number): Category[] =>
  list(value, path, min, 'categories').map((one, i) => category(one, `${path}.${i}`));

/** Refuses texts among numbers: "1" and 1 would count as two categories, and raters who agree as ones who don't. */
export function expectOneKind(categories: Iterable<readonly [Category, string]>): void {
  let kind: string | null = null;
  for (const [value, path] of categories) {
    kind ??= typeof value;
    if (typeof value === kind) continue;
    const wrong = `is a ${typeof value} where others are ${kind}s`;
    throw new StatsError('inconsistent', path, wrong, 'all texts or all numbers', value);
  }
}

const plainNumber = /^[+-]?\d+(\.\d+)?$/;

/**
 * Those that occur, each once: by size where all are numbers or texts that read as such, else in the order of their
 * letters.
 */
export function sortedCategories<T extends Category>(values: Iterable<T>): T[] {
  const each = [...new Set(values)];
  const byLetters = each.sort((a, b) => (a < b ? -1 : Number(a > b)));
  const numbers = byLetters.every((one) => typeof one === 'number' || plainNumber.test(one));
  return numbers ? byLetters.sort((a, b) => Number(a) - Number(b)) : byLetters;
}
