import { z } from 'zod';
import type { Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import {
  differenceGrades,
  differenceResult,
  fewestGrades,
  hiddenReferenceIn,
  screenedByReference,
} from './difference-grades';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import { heldByEverybody } from './held-by-everybody';
import { nextAgainstReference } from './hidden-reference-order';
import { ofAudience } from './of-audience';
import { openReferenceControls, openReferenceProblems } from './open-reference';
import type { AnalyseOptions, Outcome, Protocol } from './protocol';
import { analyseRatings } from './ratings-analysis';
import type { Analysis } from './results';
import { standardScaleProblems } from './scale-problems';
import { spreadsOf } from './spreads';
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

  problems: (own, plan) => [
    ...openReferenceProblems(own.reference, plan),
    ...screeningProblems(own, plan),
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
  analyse: analysed,
  rated: (outcomes, plan) => differenceGrades(outcomes, spec.parse(plan.method.spec).reference),
  listener: (truth, plan, random) => drawnGrader(truth, plan, scales, random),
};

/** Of fewer difference grades than these the rule can't tell whether a listener hears the reference. */
function screeningProblems({ rounds, screening }: SmallImpairmentsSpec, plan: Plan): Problem[] {
  const each = rounds * (plan.prototypes.length - 1) * plan.sessions.count;
  if (!screening || each >= fewestGrades) return [];
  return [
    {
      code: 'too-few',
      path: 'method.spec.screening',
      message: `Post-screening tests each listener’s own difference grades, and of ${each} it can tell nothing. Take more rounds or sessions, so that everybody grades in ${fewestGrades} trials at least (10 to 15 are common practice), or no post-screening.`,
      allowed: `at least ${fewestGrades} trials of each listener`,
      got: String(each),
    },
  ];
}

/** The rule looks at all difference grades, so that it may lean between any two. */
const leans = () => true;

/** Difference grades are what is analysed; `differenceResult` says what decides. */
function analysed(outcomes: readonly Outcome[], plan: Plan, options: AnalyseOptions = {}): Analysis {
  const { reference, screening } = spec.parse(plan.method.spec);
  const grades = differenceGrades(outcomes, reference);
  const analysis = analyseRatings(scales, grades, plan, options, {
    results: (own, scale) => {
      const { result, compared } = differenceResult(own, scale, plan, reference);
      return {
        result: options.verdictOnly ? result : { ...result, spreads: spreadsOf(own, impairment, plan) },
        compared,
      };
    },
    ...(screening && { screening: screenedByReference, leans }),
  });
  const told = {
    ...analysis,
    decidedBy: 'listeners’ mean difference grades',
    results: analysis.results.map((result) => {
      if (!result.ratings || options.verdictOnly) return result;
      const hiddenReference = hiddenReferenceIn(ofAudience(grades, result.audience));
      return { ...result, ratings: { ...result.ratings, hiddenReference } };
    }),
  };
  return screening ? heldByEverybody(told, plan, reference, leans) : told;
}
