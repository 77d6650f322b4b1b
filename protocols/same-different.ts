import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import type { YesNoForm } from './form';
import type { Protocol } from './protocol';
import { type Random, type Randomness, shuffled } from './random';
import { notTwo, twoOf } from './two-samples';
import { evenTrials, nextOfKinds, readYesNo, type YesNoAnswer, yesNoAnswer, yesNoShown } from './yes-no';
import { analyseYesNo } from './yes-no-analysis';
import { yesNoControls } from './yes-no-controls';
import { type DifferencingEars, differencingEars, saysDifferent } from './yes-no-ears';

/**
 * Same–different: pairs of the same sample twice, and pairs of both; was it the same, or different? Half of the pairs of
 * a sitting are the same (ASTM E2139). How readily somebody says "different" is their own, so that no answer is right by
 * a chance that is known beforehand: the verdict compares each sitting with itself.
 */

const spec = z.strictObject({ trials: evenTrials });
export type SameDifferentSpec = z.infer<typeof spec>;

type Pair = readonly [PrototypeId, PrototypeId];
interface Pairs {
  same: readonly [Pair, Pair];
  different: readonly [Pair, Pair];
}

const pairsOf = (first: PrototypeId, second: PrototypeId): Pairs => ({
  same: [
    [first, first],
    [second, second],
  ],
  different: [
    [first, second],
    [second, first],
  ],
});

const either = (pairs: readonly [Pair, Pair], random: Random): PrototypeId[] => [...pairs[random.below(2) as 0 | 1]];

/**
 * Half the pairs of a sitting are the same and half different. Each of the two same pairs, and each of the two different
 * ones, comes equally often to within one; where one is left over, its other has the next listener.
 */
function ofSitting(
  { same, different }: Pairs,
  trials: number,
  ordinal: number,
  sitting: number,
  randomness: Randomness,
): PrototypeId[][] {
  const block = Math.floor((ordinal - 1) / 2);
  const evenly = (pairs: readonly [Pair, Pair], kind: string): PrototypeId[][] => {
    const offset = randomness.at('sitting', sitting, kind, block).below(2) + ordinal;
    return Array.from({ length: trials / 2 }, (_, i) => [...pairs[((i + offset) % 2) as 0 | 1]]);
  };
  return [...evenly(same, 'same'), ...evenly(different, 'different')];
}

export const sameDifferent: Protocol<SameDifferentSpec, YesNoAnswer, DifferencingEars> = {
  id: 'same-different',
  family: 'difference',
  aims: ['difference'],
  smallest: 'd-prime',
  chance: null,
  standards: ['ASTM E2139'],
  spec,
  controls: yesNoControls('Half of the pairs are of one sample with itself already, and count.', 'added'),

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

  controlTrial: (_spec, _plan, pair, randomness) => ({
    presentations: shuffled(pair, randomness.at('order')),
    shown: [...yesNoShown],
  }),

  trials: ({ trials }) => trials,
  practicePresentations: () => 2,

  next({ trials }, plan, seat, history, randomness) {
    const pairs = pairsOf(...twoOf(plan));
    const kind = (isSame: boolean) => (isSame ? pairs.same : pairs.different);
    return nextOfKinds(
      {
        practice: (random) => either(kind(random.below(2) === 0), random),
        sitting: () => ofSitting(pairs, trials, seat.ordinal, seat.sitting, randomness),
        again: ({ presentations: [one, other] }, random) => either(kind(one === other), random),
      },
      trials,
      seat,
      history,
      randomness,
    );
  },

  answer: () => yesNoAnswer,
  read: readYesNo,
  score: (_form, _trial, { yes }) => [{ scale: null, value: yes ? 1 : 0, late: false }],
  analyse: (outcomes, plan, options) => analyseYesNo('same-different', outcomes, plan, options),
  listener: (truth, _plan, random) => differencingEars(truth, random),
  // A known difference is one that all hear, and two units of one prototype are alike.
  simulate: (_truth, ears, { design: { presentations, control } }, random) => ({
    yes: control === 'knownDifference' || saysDifferent(ears, presentations[0] !== presentations[1], random),
  }),
};
