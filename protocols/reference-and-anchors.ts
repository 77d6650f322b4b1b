import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import { dealtSeat } from './dealt-seat';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import { heldByEverybody, type Leans } from './held-by-everybody';
import { anchorProblems, openReferenceControls, openReferenceProblems } from './open-reference';
import { type Protocol, samplesIn, type TrialDesign } from './protocol';
import { putAgain } from './put-again';
import { type Randomness, shuffled } from './random';
import { rankingOrder } from './ranking-order';
import { analyseRatings } from './ratings-analysis';
import { screenedByAnchor } from './reference-screening';
import { standardScaleProblems } from './scale-problems';
import { continuousQuality } from './standard-scales';

/**
 * Several stimuli with a hidden reference and anchors (ITU-R BS.1534-3): an open reference, and beside it all samples of
 * an excerpt, the reference hidden among them, each graded from 0 to 100. Anchors are the reference with everything above
 * 3.5 and 7 kHz taken off. For differences that are plainly heard; small ones are for `small-impairments`.
 */

const spec = z.strictObject({
  /** The prototype that is put openly, and hidden among the others. */
  reference: z.string().min(1).max(64),
  /** Trials of each listener in one sitting. */
  trials: z.int().min(1).max(20).default(1),
  /** Whether listeners are left out who miss the hidden reference or take the anchor for it. */
  screening: z.boolean().default(true),
});
export type ReferenceAndAnchorsSpec = z.infer<typeof spec>;

const scales = [continuousQuality];
/** With the reference among them; a page with more asks too much at once (BS.1534-3, from memory). */
const mostGraded = 12;
/** The open reference and two that are graded, in practice. */
const practiceSize = 3;

export const referenceAndAnchors: Protocol<ReferenceAndAnchorsSpec, GradesAnswer, Grader> = {
  id: 'reference-and-anchors',
  family: 'rating',
  aims: ['profile'],
  smallest: 'points',
  chance: null,
  standards: ['ITU-R BS.1534-3 (10/2015)'],
  spec,
  mostPrototypes: mostGraded,
  controls: openReferenceControls,

  problems: ({ reference }, plan) => [
    ...openReferenceProblems(reference, plan),
    ...anchorProblems(plan.prototypes),
    ...standardScaleProblems(continuousQuality, plan),
  ],

  form(_spec, plan): GradesForm {
    const samples = samplesIn(plan);
    return {
      kind: 'grades',
      question: 'question.grade-against-reference',
      presentations: samples + 1,
      graded: Array.from({ length: samples }, (_, i) => i + 1),
      reference: 0,
      scales,
      attributes: [],
    };
  },
  blindSpec: (known) => ({ ...known, reference: 'reference' }),

  trials: ({ trials }) => trials,
  practicePresentations: () => practiceSize,

  next({ reference, trials }, plan, seat, history, randomness) {
    const samples = plan.prototypes.map(({ id }) => id as PrototypeId);
    const own: Randomness = {
      at: (...path) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path),
    };
    const trial = (hidden: PrototypeId[], ordinal: number, replaces: number | null = null): TrialDesign => ({
      ordinal,
      practice: ordinal === 0,
      presentations: [reference as PrototypeId, ...hidden],
      shown: [0],
      replaces,
    });
    if (history.length === 0) return trial(shuffled(samples, own.at('practice')).slice(0, practiceSize - 1), 0);
    const planned = history.filter(({ design }) => !design.practice && design.replaces === null).length;
    if (planned < trials) {
      const dealt = dealtSeat(plan, seat, randomness);
      const size = { size: samples.length, rankings: trials };
      const order = rankingOrder(samples.length, size, dealt, planned, plan, randomness);
      return trial(
        order.map((sample) => samples[sample] as PrototypeId),
        planned + 1,
      );
    }
    // In an order that is drawn anew: else whoever remembers the spoilt trial could tell which two codes are one sample.
    const again = putAgain(history);
    if (!again) return 'done';
    const hidden = shuffled(again.spoilt.presentations.slice(1), own.at('again', again.ordinal));
    return trial(hidden, again.ordinal, again.spoilt.ordinal);
  },

  ...gradesParts,
  analyse(outcomes, plan, options) {
    const { reference, screening } = spec.parse(plan.method.spec);
    if (!screening) return analyseRatings(scales, outcomes, plan, options, {});
    const leans: Leans = (first, second) => first === reference || second === reference;
    const analysis = analyseRatings(scales, outcomes, plan, options, {
      screening: (own) => screenedByAnchor(own, plan, reference),
      leans,
    });
    return heldByEverybody(analysis, plan, reference, leans);
  },
  listener: (truth, plan, random) => drawnGrader(truth, plan, scales, random),
};
