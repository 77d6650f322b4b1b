import type { PrototypeId } from '../shared/brands';
import type { Meeting, ScoredPlan, Truth } from './protocol';
import type { Random } from './random';
import { normalVariate } from './virtual-listener';

/** How a virtual listener hears where answers are right or wrong. */
export interface Ears {
  /** Share of trials in which this listener truly hears the difference. */
  heard: number;
  /** Distance of the two samples in standard deviations of one impression, where that is what decides; else null. */
  dPrime: number | null;
  /** What is known of the samples when an answer is scored. The first of the primary pair has more of what differs. */
  plan: ScoredPlan;
}

/** Draws whether this listener hears anything; by distance where the truth gives one, else in a share of trials. */
export function earsOf(truth: Truth, { primary, controls }: ScoredPlan, random: Random): Ears {
  const hears = random.uniform() < (truth.listenersWhoHear ?? 0);
  const plan = { primary, controls };
  if (hears && truth.dPrime !== undefined) return { heard: 0, dPrime: truth.dPrime, plan };
  return { heard: hears ? (truth.heard ?? 1) : 0, dPrime: null, plan };
}

/** The three ways to an answer. */
export interface WaysToAnswer<Answer> {
  /** The right one. */
  right(): Answer;
  /** By the rule that the method asks for, from one impression of each sample. */
  byEar(impressions: number[]): Answer;
  /** All that may be answered, the first being the one that a habit pulls to. */
  offered: readonly Answer[];
}

/**
 * What such a listener answers. Whoever hears by distance has a normal impression of each sample, anew each time it is
 * presented; whoever truly hears it is right; and everybody else guesses, by a habit of one's own or none. A known
 * difference is one that all hear, and two units of one prototype are alike.
 */
export function heardAnswer<Answer>(
  { positionBias = 0 }: Truth,
  { heard, dPrime, plan }: Ears,
  { design }: Pick<Meeting, 'design'>,
  ways: WaysToAnswer<Answer>,
  random: Random,
): Answer {
  if (design.control === 'knownDifference') return ways.right();
  if (dPrime !== null) {
    const more = plan.primary.first as PrototypeId;
    return ways.byEar(design.presentations.map((one) => (one === more ? dPrime : 0) + normalVariate(random)));
  }
  const hears = random.uniform() < heard;
  return hears && design.control !== 'units' ? ways.right() : guess(ways.offered, positionBias, random);
}

function guess<Answer>(offered: readonly Answer[], bias: number, random: Random): Answer {
  const first = Math.exp(bias);
  const at = random.uniform() * (first + offered.length - 1);
  return offered[at < first ? 0 : Math.min(offered.length - 1, 1 + Math.floor(at - first))] as Answer;
}
