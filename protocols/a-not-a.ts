import { z } from 'zod';
import type { YesNoForm } from './form';
import type { Protocol } from './protocol';
import { notTwo, twoOf } from './two-samples';
import { evenTrials, nextOfKinds, readYesNo, type YesNoAnswer, yesNoAnswer, yesNoShown } from './yes-no';
import { analyseYesNo } from './yes-no-analysis';
import { yesNoControls } from './yes-no-controls';
import { type LearntEars, learntEars, takesForLearnt } from './yes-no-ears';

/**
 * A–not-A: one prototype is learnt first; then single samples, half of them that one and half the other: is it the one?
 * (ISO 8588.) As with same–different no answer is right by a chance that is known beforehand, so the verdict compares
 * each sitting with itself.
 */

const spec = z.strictObject({
  trials: evenTrials,
  /** The other is heard while learning, too, and called another. */
  showOther: z.boolean().default(false),
});
export type ANotASpec = z.infer<typeof spec>;

/** How often the learnt sample is heard before it is asked about. */
const timesLearnt = 2;
const learning = ({ showOther }: ANotASpec): number => timesLearnt + (showOther ? 1 : 0);

export const aNotA: Protocol<ANotASpec, YesNoAnswer, LearntEars> = {
  id: 'a-not-a',
  family: 'difference',
  aims: ['difference'],
  smallest: 'd-prime',
  chance: null,
  standards: ['ISO 8588:2017'],
  spec,
  controls: yesNoControls('Samples come one by one, in no pairs.', {
    refused:
      'Samples come one by one, and only one of the two units could be learnt. Plan two units of one prototype as a study of its own, or take same–different.',
  }),

  problems: (_spec, plan) => notTwo('A–not-A', plan),

  form: (own): YesNoForm => ({
    kind: 'yes-no',
    question: 'question.learnt',
    presentations: 1,
    yes: 'answer.learnt',
    no: 'answer.other',
    learning: learning(own),
    ...(own.showOther ? { another: timesLearnt } : {}),
    byPlace: true,
  }),

  // What everybody should tell from the learnt one.
  controlTrial: (_spec, _plan, [, known]) => ({ presentations: [known], shown: [...yesNoShown] }),

  trials: ({ trials }) => trials,
  practicePresentations: (own) => learning(own) + 1,

  next(own, plan, seat, history, randomness) {
    const [learnt, other] = twoOf(plan);
    const half = own.trials / 2;
    return nextOfKinds(
      {
        practice: (random) => [
          ...Array.from({ length: timesLearnt }, () => learnt),
          ...(own.showOther ? [other] : []),
          random.below(2) === 0 ? learnt : other,
        ],
        sitting: () => Array.from({ length: own.trials }, (_, i) => [i < half ? learnt : other]),
        again: ({ presentations }) => presentations,
      },
      own.trials,
      seat,
      history,
      randomness,
    );
  },

  answer: () => yesNoAnswer,
  read: readYesNo,
  score: (_form, _trial, { yes }) => [{ scale: null, value: yes ? 1 : 0, late: false }],
  analyse: (outcomes, plan, options) => analyseYesNo('a-not-a', outcomes, plan, options),
  listener: (truth, plan, random) => learntEars(truth, plan.primary.first, random),
  // A known difference is one that all hear.
  simulate: (_truth, ears, { design: { presentations, control } }, random) => ({
    yes: control !== 'knownDifference' && takesForLearnt(ears, presentations.at(-1) === ears.learnt, random),
  }),
};
