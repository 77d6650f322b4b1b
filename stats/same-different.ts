import { type RateCorrection, rateCorrections } from './a-not-a';
import { choice, options, whole } from './check';
import { crossing } from './crossing';
import { normalCdf, normalQuantile } from './distributions';
import { StatsError } from './errors';
import { fisherUpper } from './fisher-exact';

export interface SameDifferentInput {
  differentSaidDifferent: number;
  differentPairs: number;
  sameSaidDifferent: number;
  samePairs: number;
  correction?: RateCorrection | undefined;
}

export interface SameDifferentResult {
  hitRate: number;
  falseAlarmRate: number;
  tau: number | null;
  dPrime: number | null;
  unbounded: boolean;
  p: number;
}

/**
 * Whether listeners tell different pairs from same ones, and how far apart the samples are to their ears.
 *
 * Use it where two samples can be put side by side but nobody can say in what they differ. Assumes that a listener calls
 * a pair different when the two impressions lie more than tau apart (the differencing rule), with one tau for all; p
 * assumes nothing of the kind, only independent answers.
 *
 * @param input.differentSaidDifferent how many of the different pairs were called different, 0 … `differentPairs`
 * @param input.differentPairs pairs of two samples, at least 1
 * @param input.sameSaidDifferent how many of the same pairs were called different, 0 … `samePairs`
 * @param input.samePairs pairs of one sample with itself, at least 1
 * @param input.correction none (default): the rates as they are; log-linear: half an answer is added to the "different"
 *   answers and one pair to each kind, always, so that rates of 0 and 1 give finite figures
 * @returns hitRate, falseAlarmRate: shares called different, as they are; tau: the criterion, in units of the spread of
 *   one impression, that the false alarms give; dPrime: 0 where hits are no more frequent than false alarms; both from
 *   the corrected rates. Uncorrected, without a false alarm tau and dPrime are `null`, with all different pairs called so
 *   dPrime is: unbounded is then true. p: Fisher's exact test, one-sided: so many or more of the "different" answers on
 *   different pairs
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice; no-variation where every answer
 *   was the same and is to stay uncorrected, so that d′ may be anything
 *
 * Accuracy: tau 1e-12 relative, dPrime 1e-10 as long as the two rates differ by 1e-6 or more, p 1e-11.
 * Source: Kaplan, Macmillan & Creelman (1978), Behavior Research Methods & Instrumentation 10:796–813; Macmillan &
 * Creelman (2005), Detection Theory, chapter 9; Fisher (1935), Journal of the Royal Statistical Society 98:39–54; Hautus
 * (1995), Behavior Research Methods 27:46–51 (log-linear).
 *
 * @example
 * sameDifferent({ differentSaidDifferent: 60, differentPairs: 100, sameSaidDifferent: 25, samePairs: 100 })
 * // { hitRate: 0.6, falseAlarmRate: 0.25, tau: 1.62683969519524, dPrime: 1.96485724411346, p: 4.41302558555191e-7 }
 */
export function sameDifferent(input: SameDifferentInput): SameDifferentResult {
  options(input, ['differentSaidDifferent', 'differentPairs', 'sameSaidDifferent', 'samePairs', 'correction']);
  const differentPairs = whole(input.differentPairs, 'differentPairs', { min: 1, max: 1e9 });
  const hits = whole(input.differentSaidDifferent, 'differentSaidDifferent', { min: 0, max: differentPairs });
  const samePairs = whole(input.samePairs, 'samePairs', { min: 1, max: 1e9 });
  const falseAlarms = whole(input.sameSaidDifferent, 'sameSaidDifferent', { min: 0, max: samePairs });
  const correction = choice(input.correction ?? 'none', 'correction', rateCorrections);
  const said = hits + falseAlarms;
  if (correction === 'none' && (said === 0 || said === differentPairs + samePairs)) {
    const wrong = `says that ${said === 0 ? 'no' : 'every'} pair was called different, as sameSaidDifferent does`;
    const allowed = 'answers of both kinds, or correction log-linear';
    throw new StatsError('no-variation', 'differentSaidDifferent', wrong, allowed, hits);
  }
  return {
    hitRate: hits / differentPairs,
    falseAlarmRate: falseAlarms / samePairs,
    ...differencing({ hits, differentPairs, falseAlarms, samePairs }, correction === 'none' ? 0 : 0.5),
    p: fisherUpper(hits, differentPairs, falseAlarms, samePairs),
  };
}

/**
 * Criterion and distance by the differencing rule, as `sameDifferent`. For trusted callers.
 * @param added to either kind of answers, in both kinds of pairs
 */
export function differencing(
  counted: { hits: number; differentPairs: number; falseAlarms: number; samePairs: number },
  added: number,
): Pick<SameDifferentResult, 'tau' | 'dPrime' | 'unbounded'> {
  const hits = counted.hits + added;
  const differentPairs = counted.differentPairs + 2 * added;
  const falseAlarms = counted.falseAlarms + added;
  const samePairs = counted.samePairs + 2 * added;
  const apart = hits / differentPairs > falseAlarms / samePairs;
  const unbounded = apart && (falseAlarms === 0 || hits === differentPairs);
  const reach = falseAlarms === samePairs ? 0 : -normalQuantile(falseAlarms / samePairs / 2);
  const misses = (differentPairs - hits) / differentPairs;
  const distance = apart && !unbounded ? differenceAt(hits / differentPairs, misses, reach) : 0;
  return {
    tau: falseAlarms === 0 ? null : Math.SQRT2 * reach,
    dPrime: unbounded ? null : Math.SQRT2 * distance,
    unbounded,
  };
}

/**
 * The mean of a unit normal difference that falls outside ±reach with probability `hits`, more than one of mean 0 does.
 * Halving: the upper end is where the one side alone would do.
 */
function differenceAt(hits: number, misses: number, reach: number): number {
  // Of hits and misses the rarer tells more digits.
  const beyond = (mean: number) => normalCdf(mean - reach) + normalCdf(-mean - reach) >= hits;
  const within = (mean: number) => normalCdf(reach - mean) - normalCdf(-mean - reach) <= misses;
  const far = hits <= 0.5 ? beyond : within;
  return crossing(0, reach + (hits <= 0.5 ? normalQuantile(hits) : -normalQuantile(misses)), far);
}
