import { z } from 'zod';
import type { Problem } from '../shared/problem';
import { askedScale, scaleLimits, scaleSchema } from '../shared/scales';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import { oneByOneControls } from './one-by-one';
import type { Protocol } from './protocol';
import { shuffled } from './random';
import { analyseRatings } from './ratings-analysis';
import { nextInRounds, roundsProblems, trialsInRounds } from './rounds';
import { scaleProblems } from './scale-problems';

/**
 * Attribute profile (ISO 13299:2016): one sample at a time, rated on attributes that the panel shares, each with a
 * definition and words for its ends. Replicates are rounds of a sitting, and sittings on other days with other units, so
 * that listener, day and unit can be told apart from the prototype.
 */

const longestDefinition = 200;

const spec = z.strictObject({
  scales: z
    .array(scaleSchema.extend({ definition: z.string().trim().max(longestDefinition) }))
    .min(1)
    .max(scaleLimits.scales),
  /** How often a sitting goes through all prototypes. */
  rounds: z.int().min(1).max(3).default(1),
});
export type AttributeProfileSpec = z.infer<typeof spec>;

export const attributeProfile: Protocol<AttributeProfileSpec, GradesAnswer, Grader> = {
  id: 'attribute-profile',
  family: 'rating',
  aims: ['profile'],
  smallest: 'points',
  chance: null,
  standards: ['ISO 13299:2016'],
  spec,
  controls: oneByOneControls,

  problems({ scales, rounds }, plan) {
    const undefinedOnes = scales.flatMap(({ name, definition }, i): Problem[] =>
      definition !== ''
        ? []
        : [
            {
              code: 'missing',
              path: `method.spec.scales.${i}.definition`,
              message: `${name} has no definition. Say in a line what is meant, so that everybody rates the same.`,
            },
          ],
    );
    return [...scaleProblems(scales, plan), ...undefinedOnes, ...roundsProblems(rounds, plan)];
  },

  form: ({ scales }): GradesForm => ({
    kind: 'grades',
    question: 'question.grade-one',
    presentations: 1,
    graded: [0],
    reference: null,
    scales: scales.map(({ definition, ...scale }) => askedScale(scale, definition)),
    attributes: [],
  }),

  trials: ({ rounds }, plan) => trialsInRounds(rounds, plan),
  practicePresentations: () => 1,

  next({ scales, rounds }, plan, seat, history, randomness) {
    // The same order of attributes for a listener over all samples and sittings.
    const shown = shuffled(
      scales.map((_, i) => i),
      randomness.at('listener', seat.ordinal, 'scales'),
    );
    return nextInRounds({ rounds, shown, warmUp: true }, plan, seat, history, randomness);
  },

  ...gradesParts,
  analyse: (outcomes, plan, options) =>
    analyseRatings(spec.parse(plan.method.spec).scales, outcomes, plan, options, {}),
  listener: (truth, plan, random) => drawnGrader(truth, plan, spec.parse(plan.method.spec).scales, random),
};
