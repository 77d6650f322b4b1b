import type { Plan } from '../shared/plan';
import { sizesFor } from '../stats/sample-size';
import { dPrimeAt, proportionAt } from '../stats/thurstonian';
import { alphaEach } from './alpha-each';

/** What one way of asking takes to find the planned difference, in one audience. */
export interface WayOfAsking {
  /** Share of answers that are right (of a preference: that go the same way). */
  share: number;
  trials: number;
  /** Samples that are handed over for them. */
  handOvers: number;
}

/** The same difference to the ear, asked in three ways at the same risks. */
export interface AbxHandling {
  /** Distance of the two samples, in standard deviations of one impression. */
  dPrime: number;
  abx: WayOfAsking;
  /** Which of the two has more of something that was named beforehand: 2-AFC, one-sided. */
  directional: WayOfAsking;
  /** Which of the two is better, two-sided; only where everybody who hears it prefers the same one. */
  preference: WayOfAsking;
}

/** Samples of one trial: A, B and X; and of a pair. */
const handed = { abx: 3, pair: 2 } as const;

/**
 * How much handling ABX costs beside a pair, for the same distance d′ of the samples: the one at which ABX is right as
 * often as the plan wants to find. Listeners are taken to compare in ABX by differencing, the usual reading where the
 * samples come one after the other (Macmillan & Creelman 2005, Detection Theory, chapter 9; from memory).
 *
 * It is the best case for a pair. A directional question needs to know beforehand what differs, and a preference finds
 * nothing where half of the panel likes the one and half the other: then ABX finds what they can't.
 * @returns null where a way of asking would need more than 100,000 trials
 */
export function abxHandling(plan: Plan): AbxHandling | null {
  const { beta, smallest } = plan.risks;
  const heard = smallest.value;
  const dPrime = dPrimeAt('abx-differencing', heard / 2, (1 - heard) / 2);
  const way = (share: number, alternative: 'greater' | 'two-sided', each: number): WayOfAsking | null => {
    const trials = sizesFor(1 / 2, alphaEach(plan), alternative, share, 1 - beta)?.lasting.trials;
    return trials === undefined ? null : { share, trials, handOvers: trials * each };
  };
  const pair = proportionAt('2-afc', dPrime);
  const abx = way((1 + heard) / 2, 'greater', handed.abx);
  const directional = way(pair, 'greater', handed.pair);
  const preference = way(pair, 'two-sided', handed.pair);
  return abx && directional && preference && { dPrime, abx, directional, preference };
}
