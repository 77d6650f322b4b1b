import { z } from 'zod';
import type { Problem } from '../shared/problem';
import { askedScale, scaleIdPattern, scaleLimits } from '../shared/scales';
import { analyseTicks } from './check-all-analysis';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import { likingSchema } from './liking-scale';
import { endsProblems, repeatedProblems } from './named-problems';
import { oneByOneControls } from './one-by-one';
import type { Protocol } from './protocol';
import { shuffled } from './random';
import { nextInRounds, roundsProblems, trialsInRounds } from './rounds';

/**
 * Check all that apply (common practice): one sample at a time, and all words of a list that fit it are ticked, or none.
 * How well it is liked may be asked before. The words stand in another order for each listener, and in the same for all
 * that a listener hears: the first of a list are ticked more often, and a new order each time would have to be read anew.
 */

const longestDefinition = 200;
const mostAttributes = 24;

const spec = z.strictObject({
  attributes: z
    .array(
      z.strictObject({
        id: z.string().regex(scaleIdPattern, 'small letters, digits and -, beginning with a letter'),
        name: z.string().trim().min(1).max(scaleLimits.name),
        definition: z.string().trim().min(1).max(longestDefinition).optional(),
      }),
    )
    .min(2)
    .max(mostAttributes),
  /** How well each sample is liked, asked first; null: it isn't. */
  liking: likingSchema.nullable().default(null),
  /** How often a sitting goes through all prototypes. */
  rounds: z.int().min(1).max(3).default(1),
});
export type CheckAllSpec = z.infer<typeof spec>;

const scalesOf = ({ liking }: CheckAllSpec) => (liking === null ? [] : [liking]);

export const checkAll: Protocol<CheckAllSpec, GradesAnswer, Grader> = {
  id: 'check-all',
  family: 'rating',
  aims: ['profile'],
  smallest: 'ticked',
  chance: null,
  standards: [],
  spec,
  controls: oneByOneControls,

  problems(own, plan) {
    const { attributes, rounds } = own;
    const { scale } = plan.primary;
    const primary: Problem[] = attributes.some(({ id }) => id === scale)
      ? []
      : [
          {
            code: 'not-a-scale',
            path: 'primary.scale',
            message: 'The verdict needs one word of the list to rest on.',
            allowed: attributes.map(({ id }) => id).join(', '),
            ...(scale === undefined ? {} : { got: scale }),
          },
        ];
    return [
      ...scalesOf(own).flatMap((scale) => endsProblems(scale, 'method.spec.liking')),
      ...repeatedProblems('word', attributes, 'method.spec.attributes', scalesOf(own)),
      ...primary,
      ...roundsProblems(rounds, plan),
    ];
  },

  form: (own): GradesForm => ({
    kind: 'grades',
    question: 'question.grade-one',
    presentations: 1,
    graded: [0],
    reference: null,
    scales: scalesOf(own).map((scale) => askedScale(scale)),
    attributes: own.attributes.map(({ id, name, definition }) => ({
      id,
      name,
      ...(definition === undefined ? {} : { definition }),
    })),
  }),

  trials: ({ rounds }, plan) => trialsInRounds(rounds, plan),
  practicePresentations: () => 1,

  next(own, plan, seat, history, randomness) {
    const scales = scalesOf(own).map((_, i) => i);
    const words = shuffled(
      own.attributes.map((_, i) => scales.length + i),
      randomness.at('listener', seat.ordinal, 'words'),
    );
    return nextInRounds(
      { rounds: own.rounds, shown: [...scales, ...words], warmUp: true },
      plan,
      seat,
      history,
      randomness,
    );
  },

  ...gradesParts,
  analyse: (outcomes, plan, options) => analyseTicks(spec.parse(plan.method.spec), outcomes, plan, options),

  listener(truth, plan, random) {
    const own = spec.parse(plan.method.spec);
    return drawnGrader(truth, plan, [...scalesOf(own), ...own.attributes], random);
  },
};
