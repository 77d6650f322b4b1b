import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import { codesLast } from '../shared/plan';
import type { Problem } from '../shared/problem';
import { allPairs } from './balanced-pairs';
import { nextInBothOrders } from './both-orders';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import type { Protocol } from './protocol';
import { shuffled } from './random';
import { analyseRatings } from './ratings-analysis';
import { standardScaleProblems } from './scale-problems';
import { comparison } from './standard-scales';

/**
 * Comparison category rating (ITU-T P.800, annex E, from memory): two samples, and how much better or worse the second is
 * than the first, in seven words. Every pair is put both ways round, and the sign turned where the order was.
 */

const spec = z.strictObject({
  /** How often a sitting goes through all pairs, both ways round. */
  rounds: z.int().min(1).max(5).default(1),
});
export type ComparisonRatingSpec = z.infer<typeof spec>;

const scales = [comparison];

export const comparisonRating: Protocol<ComparisonRatingSpec, GradesAnswer, Grader> = {
  id: 'comparison-rating',
  family: 'rating',
  aims: ['preference', 'profile'],
  smallest: 'points',
  chance: null,
  standards: ['ITU-T P.800 (08/1996)'],
  spec,
  controls: {
    hiddenRepeats: {
      refused: 'Every pair comes both ways round, and once more in each round. Take more rounds instead.',
    },
    identicalPairs: 'added',
    knownDifference: {
      refused: 'Put the sample that everybody should tell among the prototypes: it is compared with all others.',
    },
    units: {
      refused:
        'Two units of one prototype are no pair of this plan. Compare them as two prototypes, in a study of their own.',
    },
  },

  problems({ rounds }, plan) {
    const problems: Problem[] = [];
    if (codesLast(plan)) {
      problems.push({
        code: 'not-hidden',
        path: 'handling',
        message:
          'Every pair is put both ways round, and that is blind only under fresh codes: where carriers keep theirs for the day, the listener reads that it is the same two. Take fresh carriers, from two people.',
        allowed: 'two-person, server',
        got: plan.handling,
      });
    }
    const trials = comparisonTrials(rounds, plan.prototypes.length);
    if (trials > mostTrials) {
      const most = Math.floor(mostTrials / comparisonTrials(1, plan.prototypes.length));
      problems.push({
        code: 'too-many',
        path: most > 0 ? 'method.spec.rounds' : 'prototypes',
        message: `${plan.prototypes.length} prototypes make ${trials} comparisons in a sitting, and nobody judges more than ${mostTrials} well. ${most > 0 ? `Take ${most === 1 ? '1 round' : `${most} rounds at most`}, and more sessions.` : 'Compare fewer prototypes, or rate each by itself.'}`,
        allowed: `at most ${mostTrials} comparisons in a sitting`,
        got: String(trials),
      });
    }
    return [...problems, ...standardScaleProblems(comparison, plan)];
  },

  form: (): GradesForm => ({
    kind: 'grades',
    question: 'question.grade-second',
    presentations: 2,
    graded: [1],
    reference: null,
    scales,
    attributes: [],
  }),

  controlTrial: (_spec, _plan, pair, randomness) => ({
    presentations: shuffled(pair, randomness.at('first')),
    shown: [0],
  }),

  trials: ({ rounds }, plan) => comparisonTrials(rounds, plan.prototypes.length),
  practicePresentations: () => 2,

  next: ({ rounds }, plan, seat, history, randomness) =>
    nextInBothOrders(
      plan.prototypes.map(({ id }) => id as PrototypeId),
      rounds,
      seat,
      history,
      randomness,
    ),

  ...gradesParts,
  analyse: (outcomes, plan, options) => analyseRatings(scales, outcomes, plan, options, {}),
  listener: (truth, plan, random) => drawnGrader(truth, plan, scales, random),
};

/** More comparisons than these in one sitting tire (common practice). */
const mostTrials = 60;

const comparisonTrials = (rounds: number, prototypes: number): number => 2 * rounds * allPairs(prototypes).length;
