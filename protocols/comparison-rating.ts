import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import { codesLast, type Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import { allPairs } from './balanced-pairs';
import { nextInBothOrders } from './both-orders';
import { asScores, comparisonResult, orderEffectOf } from './comparison-results';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import { ofAudience } from './of-audience';
import type { AnalyseOptions, Meeting, Outcome, Protocol, Truth } from './protocol';
import { type Random, shuffled } from './random';
import { analyseRatings } from './ratings-analysis';
import type { Analysis } from './results';
import { standardScaleProblems } from './scale-problems';
import { spreadsOf } from './spreads';
import { comparison } from './standard-scales';
import { normalVariate } from './virtual-listener';

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
  analyse: analysed,
  rated: asScores,
  listener: (truth, plan, random) => drawnGrader(truth, plan, scales, random),
  simulate: compared,
};

/**
 * The listener is the unit; `comparisonResult` says what decides. What time did to grades is not told: of a comparison
 * there is no rating that could drift.
 */
function analysed(outcomes: readonly Outcome[], plan: Plan, options: AnalyseOptions = {}): Analysis {
  const of = (trials: ReadonlySet<string>) => outcomes.filter(({ trial }) => trials.has(trial));
  const analysis = analyseRatings(scales, asScores(outcomes, plan), plan, options, {
    results: (own, scale) => {
      const { result, compared } = comparisonResult(of(new Set(own.map(({ trial }) => trial))), scale, plan);
      return {
        result: options.verdictOnly ? result : { ...result, spreads: spreadsOf(own, comparison, plan) },
        compared,
      };
    },
  });
  const controls = (options.controls ?? []).filter(({ control }) => control === 'identicalPairs');
  return {
    ...analysis,
    decidedBy: 'listeners’ mean comparisons',
    habituation: [],
    results: analysis.results.map((result) => {
      if (!result.ratings || options.verdictOnly) return result;
      const own = ofAudience(outcomes, result.audience);
      const orderEffect = orderEffectOf(own, ofAudience(controls, result.audience), plan);
      const moves = orderEffect.p !== null && orderEffect.p <= plan.risks.alpha;
      return {
        ...result,
        ratings: { ...result.ratings, ratings: own.length, orderEffect },
        warnings: [...result.warnings, ...unitWarnings(plan), ...(moves ? ['order-effect'] : [])],
      };
    }),
  };
}

/** Of single ratings a model tells units from prototypes; of comparisons there is none. */
function unitWarnings({ prototypes }: Plan): string[] {
  const several = prototypes.filter(({ units }) => units.length > 1).length;
  return several === 0 ? [] : [`units-together:${several}:${prototypes.length}`];
}

/** The second beside the first: by how much more it is liked, by the own habit of leaning to either, and by chance. */
function compared(truth: Truth, grader: Grader, { design, sitting }: Meeting, random: Random): GradesAnswer {
  const { id, from, to } = comparison;
  const felt = (place: number): number => {
    const prototype = design.presentations[place] as PrototypeId;
    return (truth.ratings?.[id]?.[prototype] ?? 0) + (grader.taste[`${id} ${prototype}`] ?? 0);
  };
  const exact =
    grader.sense * (felt(1) - felt(0)) +
    (grader.level[id] ?? 0) +
    (grader.day[`${id} ${sitting}`] ?? 0) -
    (truth.positionBias ?? 0) +
    (truth.residualSd ?? 0) * normalVariate(random);
  const value = grader.byChance
    ? from + random.below(to - from + 1)
    : Math.min(to, Math.max(from, Math.round(exact))) + 0;
  return { grades: [{ place: 1, scale: id, value }], ticks: [] };
}

/** More comparisons than these in one sitting tire (common practice). */
const mostTrials = 60;

const comparisonTrials = (rounds: number, prototypes: number): number => 2 * rounds * allPairs(prototypes).length;
