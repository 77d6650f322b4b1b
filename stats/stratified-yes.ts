import { list, options, whole } from './check';
import { binomialPmf } from './distributions';
import { StatsError } from './errors';

/** Answers of two kinds to trials of two kinds, within which their order was drawn at random. */
export interface YesStratum {
  firstYes: number;
  first: number;
  secondYes: number;
  second: number;
}

export interface StratifiedYesInput {
  strata: readonly YesStratum[];
}

export interface StratifiedYesResult {
  firstYes: number;
  expected: number;
  variance: number;
  p: number;
}

const mostTrials = 10_000;
const mostInAll = 100_000;

export function stratifiedYes(input: StratifiedYesInput): StratifiedYesResult {
  options(input, ['strata']);
  const strata = list(input.strata, 'strata', 1, 'strata').map((row, i) => {
    const at = `strata.${i}`;
    options(row, ['firstYes', 'first', 'secondYes', 'second'], at);
    const { firstYes, first, secondYes, second } = row as YesStratum;
    const own = whole(first, `${at}.first`, { min: 0, max: mostTrials });
    const other = whole(second, `${at}.second`, { min: 0, max: mostTrials });
    return {
      firstYes: whole(firstYes, `${at}.firstYes`, { min: 0, max: own }),
      first: own,
      secondYes: whole(secondYes, `${at}.secondYes`, { min: 0, max: other }),
      second: other,
    };
  });
  const trials = strata.reduce((sum, { first, second }) => sum + first + second, 0);
  if (trials > mostInAll) {
    throw new StatsError('out-of-range', 'strata', 'has too many trials in all', `at most ${mostInAll}`, trials);
  }
  return stratifiedTail(strata);
}

/** For trusted callers: whole numbers, each part no more than its whole. */
export function stratifiedTail(strata: readonly YesStratum[]): StratifiedYesResult {
  let firstYes = 0;
  let least = 0;
  let expected = 0;
  let variance = 0;
  let chances: number[] = [1];
  for (const stratum of strata) {
    const { first, second } = stratum;
    const yes = stratum.firstYes + stratum.secondYes;
    const all = first + second;
    firstYes += stratum.firstYes;
    if (all === 0) continue;
    expected += (first * yes) / all;
    if (all > 1) variance += (first * second * yes * (all - yes)) / (all * all * (all - 1));
    const own = hypergeometric(first, second, yes);
    least += Math.max(0, yes - second);
    if (own.length > 1) chances = convolved(chances, own);
  }
  let p = 0;
  for (let x = chances.length - 1; x >= firstYes - least; x--) p += chances[x] as number;
  return { firstYes, expected, variance, p: firstYes === least ? 1 : Math.min(1, p) };
}

/** The chances of the fewest, one more … the most of `yes` answers falling on the first kind. */
function hypergeometric(first: number, second: number, yes: number): number[] {
  const fewest = Math.max(0, yes - second);
  const most = Math.min(first, yes);
  const share = yes / (first + second);
  const whole = binomialPmf(yes, first + second, share);
  return Array.from({ length: most - fewest + 1 }, (_, i) => {
    const x = fewest + i;
    return (binomialPmf(x, first, share) / whole) * binomialPmf(yes - x, second, share);
  });
}

function convolved(a: readonly number[], b: readonly number[]): number[] {
  const out = new Array<number>(a.length + b.length - 1).fill(0);
  for (let i = 0; i < a.length; i++) {
    const one = a[i] as number;
    for (let j = 0; j < b.length; j++) out[i + j] = (out[i + j] as number) + one * (b[j] as number);
  }
  return out;
}
