import { normalQuantile } from '../stats/distributions';
import type { Truth } from './protocol';
import type { Random } from './random';
import { normalVariate, ownShare } from './virtual-listener';
import { bestTau, saidDifferent } from './yes-no-distance';

/** How virtual listeners come to a yes or no: by impressions with a spread of 1, and a criterion of their own. */

export interface YesNoEars {
  /** Distance of the two samples, in standard deviations of one impression. */
  dPrime: number;
  /** Share of trials in which the answer is simply known. */
  heard: number;
}

/** What the truth makes of this listener's ears. Who hears nothing guesses, by a readiness of their own. */
function earsOf(truth: Truth, random: Random): YesNoEars {
  const hears = random.uniform() < (truth.listenersWhoHear ?? 0);
  if (!hears) return { dPrime: 0, heard: 0 };
  if (truth.dPrime !== undefined) return { dPrime: truth.dPrime, heard: 0 };
  return { dPrime: 0, heard: truth.heard ?? 1 };
}

export interface DifferencingEars extends YesNoEars {
  /** Two impressions further apart than this are called different. */
  tau: number;
}

export function differencingEars(truth: Truth, random: Random): DifferencingEars {
  const ears = earsOf(truth, random);
  const best = bestTau(ears.dPrime);
  const gamma = truth.gamma ?? 0;
  if (gamma === 0) return { ...ears, tau: best };
  const readiness = ownShare(saidDifferent(best, 0), gamma, random);
  return { ...ears, tau: Math.SQRT2 * -normalQuantile(within(readiness) / 2) };
}

/** Whether this listener calls the pair different. */
export function saysDifferent({ dPrime, heard, tau }: DifferencingEars, different: boolean, random: Random): boolean {
  if (heard > 0 && random.uniform() < heard) return different;
  const apart = (different ? dPrime : 0) + normalVariate(random) - normalVariate(random);
  return Math.abs(apart) > tau;
}

export interface LearntEars extends YesNoEars {
  /** Over 0: readier to say that it is the learnt one. */
  lean: number;
  learnt: string;
}

export function learntEars(truth: Truth, learnt: string, random: Random): LearntEars {
  const ears = earsOf(truth, random);
  const gamma = truth.gamma ?? 0;
  const readiness = gamma === 0 ? 0.5 : within(ownShare(0.5, gamma, random));
  return { ...ears, learnt, lean: normalQuantile(readiness) };
}

/** Whether this listener takes the sample for the learnt one: the criterion lies halfway, but for the lean. */
export function takesForLearnt({ dPrime, heard, lean }: LearntEars, isLearnt: boolean, random: Random): boolean {
  if (heard > 0 && random.uniform() < heard) return isLearnt;
  return (isLearnt ? dPrime / 2 : -dPrime / 2) + normalVariate(random) + lean > 0;
}

/** Kept off 0 and 1, where no criterion would do. */
const within = (share: number): number => Math.min(1 - 1e-9, Math.max(1e-9, share));
