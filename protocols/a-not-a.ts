import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import type { YesNoForm } from './form';
import type { Protocol, TrialDesign } from './protocol';
import { putAgain } from './put-again';
import { type Randomness, shuffled } from './random';
import { evenTrials, notTwo, readYesNo, type YesNoAnswer, yesNoAnswer } from './yes-no';
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
const learnt = 2;
const learning = ({ showOther }: ANotASpec): number => learnt + (showOther ? 1 : 0);

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
      'One unit would have to be learnt and told from another of its prototype, which is a study of its own. Plan one with same–different or triangle.',
  }),

  problems: (_spec, plan) => notTwo('A–not-A', plan),

  form: (own): YesNoForm => ({
    kind: 'yes-no',
    question: 'question.learnt',
    presentations: 1,
    yes: 'answer.learnt',
    no: 'answer.other',
    learning: learning(own),
    byPlace: true,
  }),

  controlTrial: (_spec, _plan, pair) => ({ presentations: [pair[1]], shown: [0, 1] }),

  trials: ({ trials }) => trials,
  practicePresentations: (own) => learning(own) + 1,

  next(own, plan, seat, history, randomness) {
    const first = plan.primary.first as PrototypeId;
    const second = plan.primary.second as PrototypeId;
    const at: Randomness['at'] = (...path) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path);
    const design = (ordinal: number, presentations: PrototypeId[], replaces: number | null = null): TrialDesign => ({
      ordinal,
      practice: ordinal === 0,
      presentations,
      shown: [0, 1],
      replaces,
    });
    if (history.length === 0) {
      const asked = at('practice').below(2) === 0 ? first : second;
      return design(0, [...Array<PrototypeId>(learnt).fill(first), ...(own.showOther ? [second] : []), asked]);
    }
    const planned = history.filter((past) => !past.design.practice && past.design.replaces === null).length;
    if (planned < own.trials) {
      const samples = Array.from({ length: own.trials }, (_, i) => (i % 2 === 0 ? first : second));
      return design(planned + 1, [shuffled(samples, at('order'))[planned] as PrototypeId]);
    }
    // The same sample again, so that half stays half.
    const again = putAgain(history);
    return again ? design(again.ordinal, [...again.spoilt.presentations], again.spoilt.ordinal) : 'done';
  },

  answer: () => yesNoAnswer,
  read: readYesNo,
  score: (_form, _trial, { yes }) => [{ scale: null, value: yes ? 1 : 0, late: false }],
  analyse: (outcomes, plan, options) => analyseYesNo('a-not-a', outcomes, plan, options),
  listener: (truth, plan, random) => learntEars(truth, plan.primary.first, random),
  simulate: (_truth, ears, { design: { presentations } }, random) => ({
    yes: takesForLearnt(ears, presentations.at(-1) === ears.learnt, random),
  }),
};
