import type { MethodId, Plan } from '../shared/plan';
import type { Alternative } from '../stats/check';
import { sizesFor } from '../stats/sample-size';
import { dPrimeAt, proportionAt, type ThurstonianMethod } from '../stats/thurstonian';
import { alphaEach } from './alpha-each';
import { dPrimeOfFive, shareOfFive } from './two-out-of-five-share';

/** What one way of asking takes to find a difference, in one audience. */
export interface WayOfAsking {
  method: MethodId;
  /** Share of answers that are right (of a preference: that go the same way). */
  share: number;
  /** Trials that find it: from that number on power never falls short again. */
  trials: number;
  /** Samples that are handed over for them. */
  handOvers: number;
}

/** The same difference to the ear, asked in every way at the same risks. */
export interface WaysOfAsking {
  /** Distance of the two samples, in standard deviations of one impression. */
  dPrime: number;
  /** Those that need at most 100,000 trials. */
  ways: WayOfAsking[];
}

interface Way {
  method: MethodId;
  chance: number;
  alternative: Alternative;
  /** Samples of a trial. */
  samples: number;
  /** Right answers at a distance. */
  shareAt(dPrime: number): number;
  /** The distance at which a right answer is so far above chance and so far from 1. */
  dPrimeAt(above: number, wrong: number): number;
}

const by = (
  method: MethodId,
  thurstonian: ThurstonianMethod,
  chance: number,
  samples: number,
  alternative: Alternative = 'greater',
): Way => ({
  method,
  chance,
  alternative,
  samples,
  shareAt: (dPrime) => proportionAt(thurstonian, dPrime),
  dPrimeAt: (above, wrong) => dPrimeAt(thurstonian, above, wrong),
});

const ways: readonly Way[] = [
  by('abx', 'abx-differencing', 1 / 2, 3),
  by('triangle', 'triangle', 1 / 3, 3),
  by('duo-trio', 'duo-trio', 1 / 2, 3),
  by('2-afc', '2-afc', 1 / 2, 2),
  by('3-afc', '3-afc', 1 / 3, 3),
  by('tetrad', 'tetrad', 1 / 3, 4),
  {
    method: 'two-out-of-five',
    chance: 1 / 10,
    alternative: 'greater',
    samples: 5,
    shareAt: shareOfFive,
    dPrimeAt: (above) => dPrimeOfFive(1 / 10 + above),
  },
  by('paired-preference', '2-afc', 1 / 2, 2, 'two-sided'),
];

const wayOf = (method: MethodId): Way | undefined => ways.find((one) => one.method === method);

/**
 * The difference to the ear that a plan is after: the distance d′ at which its method is right as often as it wants to
 * find. Of a preference it is the distance at which so many prefer the same one if all who hear it agree.
 * @returns null for a method that asks for no right answer and no preference
 */
export function plannedDPrime(plan: Pick<Plan, 'method' | 'risks'>): number | null {
  const { smallest } = plan.risks;
  if (smallest.kind === 'd-prime') return smallest.value;
  const way = wayOf(plan.method.id);
  if (!way) return null;
  if (smallest.kind === 'share') return way.dPrimeAt(smallest.value - 1 / 2, 1 - smallest.value);
  if (smallest.kind !== 'heard') return null;
  const room = 1 - way.chance;
  return way.dPrimeAt(room * smallest.value, room * (1 - smallest.value));
}

/**
 * How often right answers come at a distance of the two samples, by the decision rule that the method asks for, and how
 * many trials find it. Whoever compares in ABX and duo-trio is taken to go by differences, the usual reading where
 * samples come one after the other (Macmillan & Creelman 2005, Detection Theory, chapter 9; from memory).
 * @param alpha that the audience is tested at
 * @returns null for a method without right answers, and where it would take more than 100,000 trials
 */
export function wayOfAsking(method: MethodId, dPrime: number, alpha: number, beta: number): WayOfAsking | null {
  const way = wayOf(method);
  if (!way || !(dPrime > 0)) return null;
  const share = way.shareAt(dPrime);
  const trials = sizesFor(way.chance, alpha, way.alternative, share, 1 - beta)?.lasting.trials;
  return trials === undefined ? null : { method, share, trials, handOvers: trials * way.samples };
}

/**
 * How much each way of asking costs for the same distance of the samples: the one that this plan is after.
 *
 * It is the best case for a pair. A directional question needs to know beforehand what differs, and a preference finds
 * nothing where half of the panel likes the one and half the other: then a method finds what they can't that only asks
 * whether there is something to hear.
 * @returns null for a method without a distance, and where the plan's own way would need more than 100,000 trials
 */
export function waysOfAsking(plan: Plan): WaysOfAsking | null {
  const dPrime = plannedDPrime(plan);
  if (dPrime === null) return null;
  const alpha = alphaEach(plan);
  const found = ways.flatMap(({ method }) => wayOfAsking(method, dPrime, alpha, plan.risks.beta) ?? []);
  const own = wayOf(plan.method.id) === undefined || found.some(({ method }) => method === plan.method.id);
  return own ? { dPrime, ways: found } : null;
}
