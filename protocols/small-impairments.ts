import { z } from 'zod';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import { nextAgainstReference } from './hidden-reference-order';
import { openReferenceControls, openReferenceProblems } from './open-reference';
import type { Protocol } from './protocol';
import { analyseRatings } from './ratings-analysis';
import { standardScaleProblems } from './scale-problems';
import { impairment } from './standard-scales';

/**
 * Small impairments (ITU-R BS.1116-3): an open reference, then that again and another sample, hidden and in an order that
 * is drawn; both are graded from 1.0 to 5.0, to one decimal. What counts is the grade of the other less that of the hidden
 * reference of the same trial.
 */

const spec = z.strictObject({
  /** The prototype that is put openly, and hidden in every trial. */
  reference: z.string().min(1).max(64),
  /** How often a sitting goes through all others. */
  rounds: z.int().min(1).max(5).default(1),
  /** Whether listeners are left out whose grades don't tell the hidden reference from the others. */
  screening: z.boolean().default(true),
});
export type SmallImpairmentsSpec = z.infer<typeof spec>;

const scales = [impairment];

export const smallImpairments: Protocol<SmallImpairmentsSpec, GradesAnswer, Grader> = {
  id: 'small-impairments',
  family: 'rating',
  aims: ['profile'],
  smallest: 'points',
  chance: null,
  standards: ['ITU-R BS.1116-3 (02/2015)'],
  spec,
  controls: openReferenceControls,

  problems: ({ reference }, plan) => [
    ...openReferenceProblems(reference, plan),
    ...standardScaleProblems(impairment, plan),
  ],

  form: (): GradesForm => ({
    kind: 'grades',
    question: 'question.grade-impairment',
    presentations: 3,
    graded: [1, 2],
    reference: 0,
    scales,
    attributes: [],
  }),
  blindSpec: (known) => ({ ...known, reference: 'reference' }),

  trials: ({ rounds }, plan) => rounds * (plan.prototypes.length - 1),
  practicePresentations: () => 3,

  next: ({ reference, rounds }, plan, seat, history, randomness) =>
    nextAgainstReference({ reference, rounds }, plan, seat, history, randomness),

  ...gradesParts,
  analyse: (outcomes, plan, options) => analyseRatings(scales, outcomes, plan, options, {}),
  listener: (truth, plan, random) => drawnGrader(truth, plan, scales, random),
};
