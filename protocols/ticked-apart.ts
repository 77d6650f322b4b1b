import type { ListenerId, PrototypeId } from '../shared/brands';
import { tQuantile } from '../stats/distributions';
import { mean, variance } from '../stats/moments';
import { signFlip } from '../stats/sign-flip';
import type { OwnRatings } from './own-ratings';
import type { Estimate } from './results';

/** How much oftener a listener ticked a word for the first of two samples than for the second. */
export interface OwnApart {
  listener: ListenerId;
  /** Difference of the shares of times, −1 … 1; of one time each, 1, 0 or −1. */
  value: number;
  /** Times that each of the two counts. */
  times: number;
}

/**
 * Each listener's net difference on one word. Of each sitting as many times of the one as of the other count, the first
 * ones: then, where a listener hears no difference, each time the two could as well be exchanged, which is what the test
 * rests on. A hidden repeat of only one of them therefore doesn't count here.
 * @param rows 1 where it was ticked, 0 where not, as `ownRatings` has them
 */
export function ownApart(rows: readonly OwnRatings[], first: PrototypeId, second: PrototypeId): OwnApart[] {
  return rows.flatMap(({ listener, prototypes }) => {
    let times = 0;
    let net = 0;
    for (const [sitting, ofFirst] of prototypes.get(first) ?? []) {
      const ofSecond = prototypes.get(second)?.get(sitting) ?? [];
      const both = Math.min(ofFirst.length, ofSecond.length);
      for (let time = 0; time < both; time++) net += (ofFirst[time] as number) - (ofSecond[time] as number);
      times += both;
    }
    return times === 0 ? [] : [{ listener, value: net / times, times }];
  });
}

/** What a panel's net differences on one word come to. */
export interface TickedApart {
  /** Mean of the listeners' differences; null without listeners. */
  difference: Estimate | null;
  /** Two-sided; null without listeners. */
  p: number | null;
}

/**
 * The mean net difference, with its interval and test, the listener being the unit.
 *
 * The test is the sign-flip permutation (`signFlip`); where each listener answered once it is McNemar's exact test, since
 * then only the signs of those who changed count.
 *
 * The limits are those of the t interval with one listener more, who says the opposite outright: +1 for the upper limit,
 * −1 for the lower. Without him a panel in which hardly anybody differs would show no spread, and be sure of what it
 * can't know (0 of n speaks for at most 3/n, not for nothing). Ours; what it errs, beside published intervals, is told by
 * `node tests/bench/bench.mjs ticked-limits`: 5.3 % at most where 5 % are allowed, and theirs up to 8.3 and 19.7 %. Interval
 * and test say the same about no difference at all: a limit that would lie beyond 0 is 0 where the test says otherwise.
 * @param level of the interval, two-sided
 */
export function tickedApart(own: readonly OwnApart[], level: number): TickedApart {
  if (own.length === 0) return { difference: null, p: null };
  const values = inOrder(own);
  const { mean: value, p } = signFlip({ perListener: values });
  const [lower, upper] = limits(values, (1 + level) / 2);
  const shown = p <= 1 - level;
  return {
    p,
    difference: {
      name: 'ticked',
      value,
      lower: shown && value > 0 ? Math.max(lower, 0) : Math.min(lower, shown ? lower : 0),
      upper: shown && value < 0 ? Math.min(upper, 0) : Math.max(upper, shown ? upper : 0),
      level,
    },
  };
}

/** Whether the difference is shown to lie within ± margin, by both one-sided limits at that α each. */
export function tickedAlike(margin: number, own: readonly OwnApart[], alpha: number): boolean {
  if (own.length === 0) return false;
  const [lower, upper] = limits(inOrder(own), 1 - alpha);
  return lower > -margin && upper < margin;
}

/** Sorted, so that names and order of arrival move no digit. */
const inOrder = (own: readonly OwnApart[]): number[] => own.map(({ value }) => value).sort((a, b) => a - b);

/** Both one-sided limits at that level. */
function limits(values: readonly number[], level: number): [lower: number, upper: number] {
  const t = tQuantile(level, values.length);
  return [-upperLimit(values.map((value) => -value).reverse(), t), upperLimit(values, t)];
}

function upperLimit(values: readonly number[], t: number): number {
  const more = [...values, 1];
  return Math.min(1, mean(more) + t * Math.sqrt(Math.max(0, variance(more)) / more.length));
}
