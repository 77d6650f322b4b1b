import { normalCdf, normalQuantile, tQuantile } from '../stats/distributions';
import { resampledIntervals } from '../stats/resampled-intervals';
import { differencing } from '../stats/same-different';
import { seededRandom } from '../stats/seeded-random';
import type { YesCounts } from '../stats/stratified-yes';
import type { Estimate } from './results';
import { type YesNoMethod, yesInAll } from './yes-no-counts';

/** How far apart two samples are to the ear, from answers yes and no, and how ready a panel is to say yes. */

/** Half an answer more in each cell, so that any counts give finite figures (Hautus 1995). */
const added = 0.5;

export interface Distance {
  dPrime: number;
  /** Over 0: readier to say no than whoever is right most often. */
  criterion: number;
}

/**
 * d′ and criterion of all answers together, log-linear: by the differencing rule where two samples are compared, else of
 * equal variances (`stats/same-different.ts`, `stats/a-not-a.ts`). Where listeners are not equally ready to say yes, the
 * d′ of all together is less than what each of them has.
 */
export function distanceOf(method: YesNoMethod, { hits, signalTrials, falseAlarms, noiseTrials }: YesCounts): Distance {
  if (method === 'same-different') {
    const counted = { hits, differentPairs: signalTrials, falseAlarms, samePairs: noiseTrials };
    const { tau, dPrime } = differencing(counted, added);
    // With half an answer more in each cell both are finite.
    return { dPrime: dPrime as number, criterion: (tau as number) - bestTau(dPrime as number) };
  }
  const z = (yes: number, trials: number) => normalQuantile((yes + added) / (trials + 2 * added));
  const [hit, alarm] = [z(hits, signalTrials), z(falseAlarms, noiseTrials)];
  // 0 rather than −0 where the two cancel.
  return { dPrime: hit - alarm, criterion: 0 - (hit + alarm) / 2 };
}

/**
 * The criterion that is right most often where half of the pairs are the same: where a difference of that size comes as
 * often from the ones as from the others, cosh(d·τ/2) = exp(d²/4). From the densities of the absolute difference, which
 * is normal with variance 2 (Macmillan & Creelman 2005, Detection Theory, chapter 9; from memory).
 */
export const bestTau = (d: number): number =>
  d < 1e-4 ? Math.SQRT2 : (2 / d) * (d * d > 2800 ? (d * d) / 4 + Math.LN2 : Math.acosh(Math.exp((d * d) / 4)));

/** Rate of saying different of two impressions that lie so far apart on average. */
export const saidDifferent = (tau: number, distance: number): number =>
  normalCdf((distance - tau) / Math.SQRT2) + normalCdf((-distance - tau) / Math.SQRT2);

/** Rates of yes of whoever hears it so far apart and is right as often as can be. */
export function ratesAt(method: YesNoMethod, dPrime: number): { hit: number; falseAlarm: number } {
  if (method === 'a-not-a') return { hit: normalCdf(dPrime / 2), falseAlarm: normalCdf(-dPrime / 2) };
  const tau = bestTau(dPrime);
  return { hit: saidDifferent(tau, dPrime), falseAlarm: saidDifferent(tau, 0) };
}

const resamples = 1_000;

/**
 * d′ with its interval, whose unit is the listener: panels drawn anew from the listeners, each with all answers of theirs
 * (percentile, as far out in the tails as few listeners ask for: Hesterberg 2015, "What teachers should know about the
 * bootstrap", The American Statistician 69:371–386, the expanded percentile interval). Where all listeners answered alike, or there is one, that says too little; so it is at least as wide as
 * if every answer had come from a person of its own.
 * @param listeners one entry each
 * @returns null where trials of one of the two kinds are missing
 */
export function distanceEstimate(method: YesNoMethod, listeners: readonly YesCounts[], level: number): Estimate | null {
  const all = yesInAll(listeners);
  if (all.signalTrials === 0 || all.noiseTrials === 0) return null;
  const intervals = [ofAnswers(method, all, level)];
  if (listeners.length > 1) intervals.push(ofListeners(method, listeners, level));
  const { dPrime: value } = distanceOf(method, all);
  return {
    name: 'd-prime',
    value,
    lower: Math.min(value, ...intervals.map(({ lower }) => lower)),
    upper: Math.max(value, ...intervals.map(({ upper }) => upper)),
    level,
  };
}

/** Panels drawn anew come to the same few counts again and again. */
function rememberedDistance(method: YesNoMethod): (counts: YesCounts) => number {
  const known = new Map<string, number>();
  return (counts) => {
    const key = `${counts.hits} ${counts.signalTrials} ${counts.falseAlarms} ${counts.noiseTrials}`;
    let found = known.get(key);
    if (found === undefined) {
      found = distanceOf(method, counts).dPrime;
      known.set(key, found);
    }
    return found;
  };
}

interface Limits {
  lower: number;
  upper: number;
}

function ofListeners(method: YesNoMethod, listeners: readonly YesCounts[], level: number): Limits {
  const distance = rememberedDistance(method);
  const statistic = {
    names: ['d-prime'],
    write(out: Float64Array, times: Uint32Array): boolean {
      const drawn = { hits: 0, signalTrials: 0, falseAlarms: 0, noiseTrials: 0 };
      listeners.forEach((own, i) => {
        const often = times[i] as number;
        drawn.hits += often * own.hits;
        drawn.signalTrials += often * own.signalTrials;
        drawn.falseAlarms += often * own.falseAlarms;
        drawn.noiseTrials += often * own.noiseTrials;
      });
      out[0] = distance(drawn);
      return true;
    },
    separated: () => 0,
  };
  const n = listeners.length;
  const tail = normalCdf(-Math.sqrt(n / (n - 1)) * tQuantile((1 + level) / 2, n - 1));
  const options = { level: 1 - 2 * tail, resamples, seed: 1, method: 'percentile' as const };
  const [found] = resampledIntervals(statistic, n, options).estimates;
  return { lower: found?.lower ?? Number.NEGATIVE_INFINITY, upper: found?.upper ?? Number.POSITIVE_INFINITY };
}

/** The same with each answer by itself, drawn by the corrected rates, so that rates of 0 and 1 vary, too. */
function ofAnswers(method: YesNoMethod, all: YesCounts, level: number): Limits {
  const random = seededRandom(1);
  const distance = rememberedDistance(method);
  const drawn = (yes: number, trials: number): number => {
    const share = (yes + added) / (trials + 2 * added);
    let count = 0;
    for (let i = 0; i < trials; i++) if (random.uniform() < share) count++;
    return count;
  };
  const values = Float64Array.from({ length: resamples }, () => {
    const again = {
      ...all,
      hits: drawn(all.hits, all.signalTrials),
      falseAlarms: drawn(all.falseAlarms, all.noiseTrials),
    };
    return distance(again);
  }).sort();
  const at = (share: number): number => {
    const place = Math.min(values.length, Math.max(1, (values.length + 1) * share));
    const low = values[Math.floor(place) - 1] as number;
    const high = values[Math.ceil(place) - 1] as number;
    return low + (place - Math.floor(place)) * (high - low);
  };
  return { lower: at((1 - level) / 2), upper: at((1 + level) / 2) };
}
