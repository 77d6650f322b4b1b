import { list, number, options } from './check';
import { StatsError } from './errors';

/** What became of one pair: `first` and `second` are names of items. */
export interface Comparison {
  first: string;
  second: string;
  firstWins: number;
  secondWins: number;
  ties?: number | undefined;
}

/** One row of comparisons, its items as numbers from 0; ties are either left out or counted half a win each way. */
export interface CountedRow {
  first: number;
  second: number;
  firstWins: number;
  secondWins: number;
}

const names = ['first', 'second', 'firstWins', 'secondWins', 'ties'];

/** Checks rows of comparisons; errors name the row and the field. */
export function readComparisons(
  value: unknown,
  path: string,
  items: readonly string[],
  ties: 'none' | 'half',
): CountedRow[] {
  const index = new Map(items.map((item, i) => [item, i]));
  return list(value, path, 1, 'comparisons').map((row, i) => {
    const at = `${path}.${i}`;
    options(row, names, at);
    const given = row as Partial<Comparison>;
    const item = (side: 'first' | 'second') => {
      const found = typeof given[side] === 'string' ? index.get(given[side]) : undefined;
      if (found !== undefined) return found;
      const code = given[side] === undefined ? 'missing' : 'unknown-choice';
      throw new StatsError(code, `${at}.${side}`, 'names no item', items.join(', '), given[side]);
    };
    const first = item('first');
    const second = item('second');
    if (first === second) {
      const wrong = 'is compared with itself';
      throw new StatsError('inconsistent', `${at}.second`, wrong, 'an item other than first', given.second);
    }
    const count = (name: 'firstWins' | 'secondWins') => number(given[name], `${at}.${name}`, { min: 0, max: 1e12 });
    const tied = number(given.ties ?? 0, `${at}.ties`, { min: 0, max: 1e12 });
    const half = ties === 'half' ? tied / 2 : 0;
    return { first, second, firstWins: count('firstWins') + half, secondWins: count('secondWins') + half };
  });
}

/** Rows added up to one entry for each two items that were compared. */
export class PairCounts {
  readonly items: number;
  /** Items of pair k: `low[k]` < `high[k]`. */
  readonly low: Int32Array;
  readonly high: Int32Array;
  private readonly index = new Map<number, number>();

  constructor(items: number, rows: readonly CountedRow[]) {
    this.items = items;
    const pairs: [number, number][] = [];
    for (const { first, second } of rows) {
      const [low, high] = first < second ? [first, second] : [second, first];
      const key = low * items + high;
      if (this.index.has(key)) continue;
      this.index.set(key, pairs.length);
      pairs.push([low, high]);
    }
    this.low = Int32Array.from(pairs, ([low]) => low);
    this.high = Int32Array.from(pairs, ([, high]) => high);
  }

  /** Wins of the lower item of pair k at 2k, of the higher at 2k + 1. */
  wins(rows: readonly CountedRow[]): Float64Array {
    const wins = new Float64Array(2 * this.low.length);
    for (const { first, second, firstWins, secondWins } of rows) {
      const straight = first < second;
      const key = straight ? first * this.items + second : second * this.items + first;
      const k = 2 * (this.index.get(key) as number);
      wins[k] = (wins[k] as number) + (straight ? firstWins : secondWins);
      wins[k + 1] = (wins[k + 1] as number) + (straight ? secondWins : firstWins);
    }
    return wins;
  }
}
