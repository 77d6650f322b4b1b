import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import type { YesNoForm } from './form';
import type { Protocol, TrialDesign } from './protocol';
import { putAgain } from './put-again';
import { type Random, type Randomness, shuffled } from './random';
import { evenTrials, notTwo, readYesNo, type YesNoAnswer, yesNoAnswer } from './yes-no';
import { analyseYesNo } from './yes-no-analysis';
import { yesNoControls } from './yes-no-controls';
import { type DifferencingEars, differencingEars, saysDifferent } from './yes-no-ears';

/**
 * Same–different: pairs of the same sample twice, and pairs of both; was it the same, or different? Half of the pairs of
 * a sitting are the same (ASTM E2139). What is a false alarm to one is caution to another, so that no answer is right by
 * a chance that is known beforehand: the verdict compares each sitting with itself.
 */

const spec = z.strictObject({ trials: evenTrials });
export type SameDifferentSpec = z.infer<typeof spec>;

/** Places of the two prototypes in the plan. */
type Pair = readonly [0 | 1, 0 | 1];
const samePairs: readonly Pair[] = [
  [0, 0],
  [1, 1],
];
const differentPairs: readonly Pair[] = [
  [0, 1],
  [1, 0],
];

/**
 * The pairs of a sitting: half the same, half different, in an order that is drawn for this listener alone, since two
 * who share an order and a habit would be wrong together. Each of the two same pairs, and each of the two different
 * ones, comes equally often to within one; where one is left over, the other is with the next listener.
 */
function pairsOf(trials: number, ordinal: number, sitting: number, own: Randomness, shared: Randomness): Pair[] {
  const block = Math.floor((ordinal - 1) / 2);
  const evenly = (kinds: readonly Pair[], what: string): Pair[] => {
    const offset = shared.at('sitting', sitting, what, block).below(2) + ordinal;
    return Array.from({ length: trials / 2 }, (_, i) => kinds[(i + offset) % 2] as Pair);
  };
  return shuffled([...evenly(samePairs, 'same'), ...evenly(differentPairs, 'different')], own.at('order'));
}

const one = (kinds: readonly Pair[], random: Random): Pair => kinds[random.below(kinds.length)] as Pair;

export const sameDifferent: Protocol<SameDifferentSpec, YesNoAnswer, DifferencingEars> = {
  id: 'same-different',
  family: 'difference',
  aims: ['difference'],
  smallest: 'd-prime',
  chance: null,
  standards: ['ASTM E2139'],
  spec,
  controls: yesNoControls(
    'Half of the pairs are of one sample with itself already. They are counted in the verdict and told in the results.',
    'added',
  ),

  problems: (_spec, plan) => notTwo('Same–different', plan),

  form: (): YesNoForm => ({
    kind: 'yes-no',
    question: 'question.same',
    presentations: 2,
    yes: 'answer.different',
    no: 'answer.same',
    learning: 0,
    byPlace: true,
  }),

  controlTrial(_spec, _plan, pair, randomness) {
    return { presentations: shuffled(pair, randomness.at('order')), shown: [0, 1] };
  },

  trials: ({ trials }) => trials,
  practicePresentations: () => 2,

  next({ trials }, plan, seat, history, randomness) {
    const samples = plan.prototypes.map(({ id }) => id as PrototypeId);
    const own: Randomness = {
      at: (...path) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path),
    };
    const design = (ordinal: number, pair: Pair, replaces: number | null = null): TrialDesign => ({
      ordinal,
      practice: ordinal === 0,
      presentations: pair.map((place) => samples[place] as PrototypeId),
      shown: [0, 1],
      replaces,
    });
    if (history.length === 0) return design(0, one([...samePairs, ...differentPairs], own.at('practice')));
    const planned = history.filter((past) => !past.design.practice && past.design.replaces === null).length;
    if (planned < trials) {
      const pairs = pairsOf(trials, seat.ordinal, seat.sitting, own, randomness);
      return design(planned + 1, pairs[planned] as Pair);
    }
    const again = putAgain(history);
    if (!again) return 'done';
    // Of the same kind, so that half stays half; which of its two pairs is drawn anew.
    const [first, second] = again.spoilt.presentations;
    const kinds = first === second ? samePairs : differentPairs;
    return design(again.ordinal, one(kinds, own.at('again', again.ordinal)), again.spoilt.ordinal);
  },

  answer: () => yesNoAnswer,
  read: readYesNo,
  score: (_form, _trial, { yes }) => [{ scale: null, value: yes ? 1 : 0, late: false }],
  analyse: (outcomes, plan, options) => analyseYesNo('same-different', outcomes, plan, options),
  listener: (truth, _plan, random) => differencingEars(truth, random),
  simulate: (_truth, ears, { design: { presentations } }, random) => ({
    yes: saysDifferent(ears, presentations[0] !== presentations[1], random),
  }),
};
