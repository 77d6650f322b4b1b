import { z } from 'zod';
import { type AskedScale, askedScale, scaleLimits, scaleSchema } from '../shared/scales';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import { likingSchema, usualLiking } from './liking-scale';
import { endsProblems, repeatedProblems } from './named-problems';
import { oneByOneControls } from './one-by-one';
import { penaltiesOf } from './penalties';
import type { Protocol } from './protocol';
import { shuffled } from './random';
import { analyseRatings } from './ratings-analysis';
import { nextInRounds, roundsProblems, trialsInRounds } from './rounds';
import { verdictScaleProblems } from './scale-problems';

/**
 * Just about right (ASTM MNL 63, 2009): one sample at a time, how well it is liked, and of a few attributes whether there
 * is too little, too much or just about the right amount. The verdict rests on liking; what too little and too much cost
 * in liking stands beside it (`penalties.ts`).
 */

/** Steps to either side of just about right. */
const steps = 2;

const sideScale = scaleSchema.pick({ id: true, name: true, low: true, high: true });

const spec = z.strictObject({
  liking: likingSchema.default(usualLiking),
  scales: z
    .array(sideScale)
    .min(1)
    .max(scaleLimits.scales - 1),
  /** How often a sitting goes through all prototypes. */
  rounds: z.int().min(1).max(3).default(1),
});
export type JustAboutRightSpec = z.infer<typeof spec>;

const askedSide = ({ id, name, low, high }: z.infer<typeof sideScale>): AskedScale => ({
  id,
  name: { own: name },
  low: { own: low },
  high: { own: high },
  from: -steps,
  to: steps,
  per: 1,
  shape: 'points',
  marks: [{ at: 0, says: { key: 'scale.just-about-right' } }],
});

const scalesOf = ({ liking, scales }: JustAboutRightSpec) => [liking, ...scales];

export const justAboutRight: Protocol<JustAboutRightSpec, GradesAnswer, Grader> = {
  id: 'just-about-right',
  family: 'rating',
  aims: ['preference', 'profile'],
  smallest: 'points',
  chance: null,
  standards: ['ASTM MNL 63 (2009)'],
  spec,
  controls: oneByOneControls,

  problems: ({ liking, scales, rounds }, plan) => [
    ...endsProblems(liking, 'method.spec.liking'),
    ...scales.flatMap((scale, i) => endsProblems(scale, `method.spec.scales.${i}`)),
    ...repeatedProblems('scale', scales, 'method.spec.scales', [liking]),
    ...verdictScaleProblems([liking], plan),
    ...roundsProblems(rounds, plan),
  ],

  form: ({ liking, scales }): GradesForm => ({
    kind: 'grades',
    question: 'question.grade-one',
    presentations: 1,
    graded: [0],
    reference: null,
    scales: [askedScale(liking), ...scales.map(askedSide)],
    attributes: [],
  }),

  trials: ({ rounds }, plan) => trialsInRounds(rounds, plan),
  practicePresentations: () => 1,

  next({ scales, rounds }, plan, seat, history, randomness) {
    // Liking first, before attributes give reasons for it; these in one order for a listener over all samples and sittings.
    const sides = shuffled(
      scales.map((_, i) => i + 1),
      randomness.at('listener', seat.ordinal, 'scales'),
    );
    return nextInRounds({ rounds, shown: [0, ...sides], warmUp: true }, plan, seat, history, randomness);
  },

  ...gradesParts,

  analyse(outcomes, plan, options) {
    const parsed = spec.parse(plan.method.spec);
    const details = (all: Parameters<typeof penaltiesOf>[1]) => penaltiesOf(parsed.scales, all, plan);
    return analyseRatings(scalesOf(parsed), outcomes, plan, options, { details });
  },

  listener: (truth, plan, random) => drawnGrader(truth, plan, scalesOf(spec.parse(plan.method.spec)), random),
};
