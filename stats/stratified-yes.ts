import { list, options, whole } from './check';
import { binomialPmf } from './distributions';
import { StatsError } from './errors';

/** Answers yes and no about trials of two kinds, within one sitting. */
export interface YesCounts {
  hits: number;
  signalTrials: number;
  falseAlarms: number;
  noiseTrials: number;
}

export interface StratifiedYesInput {
  strata: readonly YesCounts[];
}

export interface StratifiedYesResult {
  hits: number;
  expected: number;
  variance: number;
  p: number;
}

const fields = ['hits', 'signalTrials', 'falseAlarms', 'noiseTrials'];
const mostTrials = 1_000;
const mostInAll = 100_000;

/**
 * Is yes said oftener to the one kind of trial than to the other, when everybody says it as readily as they like?
 *
 * Use it for same–different, A–not-A or any yes-or-no test in which each listener's sitting has trials of both kinds in an
 * order that was drawn at random. Whoever hears nothing would have given the same answers in any other order; so within a
 * sitting, with its number of yes answers as it is, those that fall on the one kind are hypergeometric, and over sittings
 * their sum is known exactly. Nothing is assumed of the listeners: not one readiness for all, not independent answers,
 * nor a readiness that stays as it is during a sitting. With one stratum it is Fisher's exact test.
 *
 * @param input.strata one entry a sitting: hits, yes said of `signalTrials` of the one kind; falseAlarms, yes said of
 *   `noiseTrials` of the other. Trials of a kind from 0 to 1,000, at most 100,000 in all; a sitting with one kind only
 *   tells nothing
 * @returns hits: in all; expected, variance: of hits if nothing is heard, given how often each sitting said yes; p: of so
 *   many hits or more, one-sided; 1 where they could not be fewer
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data
 *
 * Accuracy: 1e-11 relative, all terms being positive.
 * Source: Gart (1970), "Point and interval estimation of the common odds ratio in the combination of 2 × 2 tables with
 * fixed marginals", Biometrika 57:471–475 (exact test); Mantel & Haenszel (1959), Journal of the National Cancer
 * Institute 22:719–748 (expected, variance); from memory.
 *
 * @example
 * stratifiedYes({ strata: [{ hits: 3, signalTrials: 3, falseAlarms: 1, noiseTrials: 3 }, { hits: 2, signalTrials: 3, falseAlarms: 0, noiseTrials: 3 }] })
 * // { hits: 5, expected: 3, variance: 0.8, p: 0.04 }
 */
export function stratifiedYes(input: StratifiedYesInput): StratifiedYesResult {
  options(input, ['strata']);
  const strata = list(input.strata, 'strata', 1, 'strata').map((row, i): YesCounts => {
    const at = `strata.${i}`;
    options(row, fields, at);
    const { hits, signalTrials, falseAlarms, noiseTrials } = row as YesCounts;
    const signal = whole(signalTrials, `${at}.signalTrials`, { min: 0, max: mostTrials });
    const noise = whole(noiseTrials, `${at}.noiseTrials`, { min: 0, max: mostTrials });
    return {
      hits: whole(hits, `${at}.hits`, { min: 0, max: signal }),
      signalTrials: signal,
      falseAlarms: whole(falseAlarms, `${at}.falseAlarms`, { min: 0, max: noise }),
      noiseTrials: noise,
    };
  });
  const trials = strata.reduce((sum, { signalTrials, noiseTrials }) => sum + signalTrials + noiseTrials, 0);
  if (trials > mostInAll) {
    throw new StatsError('out-of-range', 'strata', 'have too many trials in all', `at most ${mostInAll}`, trials);
  }
  return { ...momentsOfHits(strata), p: stratifiedUpper(strata) };
}

/** Hits in all, and their mean and variance if nothing is heard. For trusted callers. */
export function momentsOfHits(strata: readonly YesCounts[]): { hits: number; expected: number; variance: number } {
  let [hits, expected, variance] = [0, 0, 0];
  for (const { hits: own, signalTrials, falseAlarms, noiseTrials } of strata) {
    const [yes, all] = [own + falseAlarms, signalTrials + noiseTrials];
    hits += own;
    if (all > 0) expected += (signalTrials * yes) / all;
    if (all > 1) variance += (signalTrials * noiseTrials * yes * (all - yes)) / (all * all * (all - 1));
  }
  return { hits, expected, variance };
}

/** P(so many hits or more), as `stratifiedYes`. For trusted callers: whole numbers, each part no more than its whole. */
export function stratifiedUpper(strata: readonly YesCounts[]): number {
  let [beyondFewest, chances] = [0, [1]];
  for (const { hits, signalTrials, falseAlarms, noiseTrials } of strata) {
    const yes = hits + falseAlarms;
    beyondFewest += hits - Math.max(0, yes - noiseTrials);
    chances = added(chances, hitsByChance(signalTrials, noiseTrials, yes));
  }
  if (beyondFewest === 0) return 1;
  let p = 0;
  for (let more = chances.length - 1; more >= beyondFewest; more--) p += chances[more] as number;
  return Math.min(1, p);
}

/** The hypergeometric probabilities of as few hits as there can be among so many yes answers, one more, and so on. */
export function hitsByChance(signal: number, noise: number, yes: number): readonly number[] {
  const key = `${signal} ${noise} ${yes}`;
  const known = remembered.get(key);
  if (known !== undefined) return known;
  if (remembered.size >= 2_000) remembered.clear();
  const chances = hypergeometric(signal, noise, yes);
  remembered.set(key, chances);
  return chances;
}

/** Sittings of the same few sizes come again and again, above all in simulated panels. */
const remembered = new Map<string, readonly number[]>();

function hypergeometric(signal: number, noise: number, yes: number): number[] {
  const fewest = Math.max(0, yes - noise);
  const most = Math.min(signal, yes);
  if (fewest === most) return [1];
  const share = yes / (signal + noise);
  const both = binomialPmf(yes, signal + noise, share);
  return Array.from({ length: most - fewest + 1 }, (_, more) => {
    const hits = fewest + more;
    return (binomialPmf(hits, signal, share) / both) * binomialPmf(yes - hits, noise, share);
  });
}

/** The probabilities of the sum of two. */
function added(some: readonly number[], others: readonly number[]): number[] {
  if (others.length === 1) return [...some];
  const sums = new Array<number>(some.length + others.length - 1).fill(0);
  for (let i = 0; i < some.length; i++) {
    const one = some[i] as number;
    for (let j = 0; j < others.length; j++) sums[i + j] = (sums[i + j] as number) + one * (others[j] as number);
  }
  return sums;
}
