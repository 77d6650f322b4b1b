import { signFlip } from '../../../stats/sign-flip';

/** One request about a sample. */
export interface Timed {
  route: string;
  ms: number;
  /** The trial that it belongs to. */
  trial: string;
  /** Whether it was about the second prototype. */
  second: boolean;
  /** What may take another time by itself: the route, the moment of the trial, and whose trial it is. */
  stratum: string;
  /** Microseconds that the server was made to wait at the second prototype. */
  planted: number;
}

export interface Difference {
  /** Of the quickest times at the second prototype to those at the first, by their means. */
  ratio: number;
  /** p of the means of all. */
  mean: number;
  /** p of the means of the quickest. */
  quickest: number;
  /** p of the share of slow ones. */
  slow: number;
}

/**
 * Whether the times of two prototypes differ, in three ways: the means, after the slowest tenth of each stratum was
 * brought down to its 90th percentile, since a pause of the machine says nothing; the quickest of the same requests at
 * one moment, as somebody would take who asks several times; and how many are beyond the 90th percentile.
 *
 * A trial is one figure: what its requests about the second prototype are beyond the mean of their stratum, less what
 * those about the first are. Which prototype is which in a trial was drawn, so under no difference every sign could as
 * well be the other one; and requests that a busy moment of the machine slowed together count once.
 */
export function differsBy(all: readonly Timed[]): Difference {
  const cut: Timed[] = [];
  const late: Timed[] = [];
  for (const own of grouped(all, ({ stratum }) => stratum)) {
    const sorted = own.map(({ ms }) => ms).sort((a, b) => a - b);
    const ninety = sorted[Math.floor(0.9 * (sorted.length - 1))] as number;
    cut.push(...own.map((one) => ({ ...one, ms: Math.min(one.ms, ninety) })));
    late.push(...own.map((one) => ({ ...one, ms: one.ms > ninety ? 1 : 0 })));
  }
  const quickest = grouped(cut, ({ trial, stratum, second }) => `${trial} ${stratum} ${second}`).map(
    (same): Timed => ({ ...(same[0] as Timed), ms: Math.min(...same.map(({ ms }) => ms)) }),
  );
  const meanOf = (which: boolean) => mean(quickest.filter(({ second }) => second === which).map(({ ms }) => ms));
  return {
    ratio: meanOf(true) / meanOf(false),
    mean: turnedRound(cut),
    quickest: turnedRound(quickest),
    slow: turnedRound(late),
  };
}

/** The p of the nets of trials, by the signs that they might have had. */
function turnedRound(all: readonly Timed[]): number {
  const nets = new Map<string, number>();
  for (const own of grouped(all, ({ stratum }) => stratum)) {
    const usual = mean(own.map(({ ms }) => ms));
    for (const { trial, second, ms } of own) {
      nets.set(trial, (nets.get(trial) ?? 0) + (second ? ms - usual : usual - ms));
    }
  }
  return signFlip({ perListener: [...nets.values()], permutations: 20_000 }).p;
}

function grouped(all: readonly Timed[], by: (one: Timed) => string): Timed[][] {
  const groups = new Map<string, Timed[]>();
  for (const one of all) {
    const key = by(one);
    const group = groups.get(key);
    if (group) group.push(one);
    else groups.set(key, [one]);
  }
  return [...groups.values()];
}

const mean = (all: readonly number[]): number => all.reduce((sum, one) => sum + one, 0) / all.length;
