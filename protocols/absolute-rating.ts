import { z } from 'zod';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import { oneByOneControls } from './one-by-one';
import type { Protocol } from './protocol';
import { analyseRatings } from './ratings-analysis';
import { nextInRounds, roundsProblems, trialsInRounds } from './rounds';
import { standardScaleProblems } from './scale-problems';
import { categoryQuality } from './standard-scales';

/**
 * Absolute category rating (ITU-T P.800, annex B, from memory): one sample at a time, in one of five words, without
 * anything to compare it with.
 */

const spec = z.strictObject({
  /** How often a sitting goes through all prototypes. */
  rounds: z.int().min(1).max(5).default(1),
});
export type AbsoluteRatingSpec = z.infer<typeof spec>;

const scales = [categoryQuality];

export const absoluteRating: Protocol<AbsoluteRatingSpec, GradesAnswer, Grader> = {
  id: 'absolute-rating',
  family: 'rating',
  aims: ['preference', 'profile'],
  smallest: 'points',
  chance: null,
  standards: ['ITU-T P.800 (08/1996)'],
  spec,
  controls: oneByOneControls,

  problems: ({ rounds }, plan) => [...standardScaleProblems(categoryQuality, plan), ...roundsProblems(rounds, plan)],

  form: (): GradesForm => ({
    kind: 'grades',
    question: 'question.grade-one',
    presentations: 1,
    graded: [0],
    reference: null,
    scales,
    attributes: [],
  }),

  trials: ({ rounds }, plan) => trialsInRounds(rounds, plan),
  practicePresentations: () => 1,

  next: ({ rounds }, plan, seat, history, randomness) =>
    nextInRounds({ rounds, shown: [0], warmUp: true }, plan, seat, history, randomness),

  ...gradesParts,
  analyse: (outcomes, plan, options) => analyseRatings(scales, outcomes, plan, options, {}),
  listener: (truth, plan, random) => drawnGrader(truth, plan, scales, random),
};
