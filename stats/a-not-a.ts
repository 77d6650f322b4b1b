import { choice, options, whole } from './check';
import { normalDensity, normalQuantile } from './distributions';
import { StatsError } from './errors';
import { fisherUpper } from './fisher-exact';

export const rateCorrections = ['none', 'log-linear'] as const;
export type RateCorrection = (typeof rateCorrections)[number];

export interface ANotAInput {
  hits: number;
  signalTrials: number;
  falseAlarms: number;
  noiseTrials: number;
  correction?: RateCorrection | undefined;
}

export interface ANotAResult {
  hitRate: number;
  falseAlarmRate: number;
  dPrime: number;
  criterion: number;
  standardError: number;
  p: number;
}

/**
 * Whether listeners who know sample A tell it from another, one sample at a time, and how ready they are to say "A".
 *
 * Use it for A/not-A answers, or any yes-or-no about a thing that is there in some trials only. Assumes independent
 * answers and impressions that are normal with the same spread either way (Gaussian, equal variance); p assumes
 * independent answers only.
 *
 * @param input.hits "A" said of A, 0 … `signalTrials`
 * @param input.signalTrials trials with A, at least 1
 * @param input.falseAlarms "A" said of the other, 0 … `noiseTrials`
 * @param input.noiseTrials trials with the other, at least 1
 * @param input.correction log-linear (default): half an answer is added to hits and false alarms and one trial to each
 *   kind, always, so that rates of 0 and 1 give finite figures; none: the rates as they are
 * @returns hitRate, falseAlarmRate: as they are; dPrime: z(hits) − z(false alarms), negative where A is called so less
 *   often than the other; criterion: −(z(hits) + z(false alarms))/2, positive where listeners are slow to say "A";
 *   standardError: of dPrime. These three from the corrected rates, the standard error with the uncorrected numbers of
 *   trials. p: Fisher's exact test, one-sided: so many hits or more
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice; no-variation where a rate of 0 or
 *   1 is to stay uncorrected, since no finite d′ fits it
 *
 * Accuracy: 1e-12 of the larger of 1 and the figure; p 1e-11 relative.
 * Source: Hautus (1995), Behavior Research Methods 27:46–51 (log-linear); Gourevitch & Galanter (1967), Psychometrika
 * 32:25–33 (standard error); Macmillan & Creelman (2005), Detection Theory, chapters 1, 2 and 13.
 *
 * @example
 * aNotA({ hits: 18, signalTrials: 25, falseAlarms: 7, noiseTrials: 25 })
 * // { hitRate: 0.72, dPrime: 1.1157695256792, criterion: 0, standardError: 0.375285673754312, p: 0.00209970593058346 }
 */
export function aNotA(input: ANotAInput): ANotAResult {
  options(input, ['hits', 'signalTrials', 'falseAlarms', 'noiseTrials', 'correction']);
  const signalTrials = whole(input.signalTrials, 'signalTrials', { min: 1, max: 1e9 });
  const hits = whole(input.hits, 'hits', { min: 0, max: signalTrials });
  const noiseTrials = whole(input.noiseTrials, 'noiseTrials', { min: 1, max: 1e9 });
  const falseAlarms = whole(input.falseAlarms, 'falseAlarms', { min: 0, max: noiseTrials });
  const correction = choice(input.correction ?? 'log-linear', 'correction', rateCorrections);
  const signal = scored(hits, signalTrials, correction, 'hits');
  const noise = scored(falseAlarms, noiseTrials, correction, 'falseAlarms');
  return {
    hitRate: hits / signalTrials,
    falseAlarmRate: falseAlarms / noiseTrials,
    dPrime: signal.z - noise.z,
    // 0 rather than −0 where the two cancel.
    criterion: 0 - (signal.z + noise.z) / 2,
    standardError: Math.sqrt(signal.variance + noise.variance),
    p: fisherUpper(hits, signalTrials, falseAlarms, noiseTrials),
  };
}

/** The normal score of a rate and its variance by the delta method. */
function scored(
  yes: number,
  trials: number,
  correction: RateCorrection,
  path: string,
): { z: number; variance: number } {
  const added = correction === 'log-linear' ? 0.5 : 0;
  if (added === 0 && (yes === 0 || yes === trials)) {
    const wrong = `gives a rate of ${yes === 0 ? 0 : 1}, which no finite d′ fits`;
    throw new StatsError('no-variation', path, wrong, 'answers of both kinds, or correction log-linear', yes);
  }
  const share = (yes + added) / (trials + 2 * added);
  const rest = (trials - yes + added) / (trials + 2 * added);
  // The smaller of the two has all its digits.
  const z = share <= 0.5 ? normalQuantile(share) : -normalQuantile(rest);
  return { z, variance: (share * rest) / (trials * normalDensity(z) ** 2) };
}
