import { list, number, options } from './check';
import { StatsError } from './errors';

export const tieRules = ['none', 'half', 'davidson'] as const;
/** `none` leaves ties out, `half` counts half a win each way, `davidson` is a model of ties. */
export type TieRule = (typeof tieRules)[number];

/** What became of one pair: `first` and `second` are names of items. */
export interface Comparison {
  first: string;
  second: string;
  firstWins: number;
  secondWins: number;
  ties?: number | undefined;
}

/** Rows of comparisons in flat arrays: items as numbers from 0, and what is counted of each row under the rule of ties. */
export interface ComparisonRows {
  first: Int32Array;
  second: Int32Array;
  /** Of row r at 3r: wins of the first, wins of the second, ties. */
  counts: Float64Array;
}

const names = ['first', 'second', 'firstWins', 'secondWins', 'ties'];
const mostAnswers = 1e12;

/** Checks rows of comparisons; errors name the row and the field. */
export function readComparisons(value: unknown, path: string, items: readonly string[], ties: TieRule): ComparisonRows {
  const given = list(value, path, 1, 'comparisons');
  const index = new Map(items.map((item, i) => [item, i]));
  const first = new Int32Array(given.length);
  const second = new Int32Array(given.length);
  const counts = new Float64Array(3 * given.length);
  for (let r = 0; r < given.length; r++) {
    const row = given[r];
    if (!plainlySound(row, index)) requireSound(row, `${path}.${r}`, index);
    const sound = row as Comparison;
    const tied = sound.ties ?? 0;
    const half = ties === 'half' ? tied / 2 : 0;
    first[r] = index.get(sound.first) as number;
    second[r] = index.get(sound.second) as number;
    counts[3 * r] = sound.firstWins + half;
    counts[3 * r + 1] = sound.secondWins + half;
    counts[3 * r + 2] = ties === 'davidson' ? tied : 0;
  }
  return { first, second, counts };
}

/** Most rows by far are right: this says so quickly, and whatever it doubts is looked at by {@link requireSound}. */
function plainlySound(row: unknown, index: ReadonlyMap<string, number>): boolean {
  if (typeof row !== 'object' || row === null || Array.isArray(row)) return false;
  let fields = 0;
  for (const _ in row) fields++;
  const { first, second, firstWins, secondWins, ties } = row as Comparison;
  if (fields !== (ties === undefined ? 4 : 5)) return false;
  if (first === second || index.get(first) === undefined || index.get(second) === undefined) return false;
  return isCount(firstWins) && isCount(secondWins) && (ties === undefined || isCount(ties));
}

const isCount = (value: unknown) => typeof value === 'number' && value >= 0 && value <= mostAnswers;

function requireSound(row: unknown, at: string, index: ReadonlyMap<string, number>): void {
  options(row, names, at);
  const given = row as Partial<Comparison>;
  for (const side of ['first', 'second'] as const) {
    if (typeof given[side] === 'string' && index.has(given[side])) continue;
    const code = given[side] === undefined ? 'missing' : 'unknown-choice';
    throw new StatsError(code, `${at}.${side}`, 'names no item', [...index.keys()].join(', '), given[side]);
  }
  if (given.first === given.second) {
    const wrong = 'is compared with itself';
    throw new StatsError('inconsistent', `${at}.second`, wrong, 'an item other than first', given.second);
  }
  const range = { min: 0, max: mostAnswers };
  number(given.ties ?? 0, `${at}.ties`, range);
  number(given.firstWins, `${at}.firstWins`, range);
  number(given.secondWins, `${at}.secondWins`, range);
}
