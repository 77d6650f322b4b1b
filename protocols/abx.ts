import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import { differenceControls } from './difference-controls';
import { type Ears, earsOf, heardAnswer } from './ears';
import type { PickOneForm } from './form';
import type { Protocol, TrialDesign } from './protocol';
import { putAgain } from './put-again';
import { type Randomness, shuffled } from './random';
import { analyseRights, rightsEvidence } from './right-answers';
import { trialsSpec } from './trials-spec';
import { notTwo } from './two-samples';

/**
 * ABX: two different samples one after the other, then a third that is one of the two; which one? Whoever hears nothing
 * is right in half of the trials, by whatever habit of answering, since each third sample is drawn by itself
 * (Munson & Gardner 1950, J. Acoust. Soc. Am. 22:675; from memory).
 */

const spec = z.strictObject({ trials: trialsSpec });
export type AbxSpec = z.infer<typeof spec>;

const answer = z.strictObject({
  /** The earlier sample that the third is said to be: 1 the first, 2 the second. */
  picked: z.union([z.literal(1), z.literal(2)]),
});
export type AbxAnswer = z.infer<typeof answer>;

const design = (samples: readonly PrototypeId[], ordinal: number, firstIsA: boolean, randomness: Randomness) => {
  const [a, b] = (firstIsA ? samples : samples.toReversed()) as [PrototypeId, PrototypeId];
  return {
    ordinal,
    practice: ordinal === 0,
    presentations: [a, b, randomness.at('third', ordinal).below(2) === 0 ? a : b],
    shown: shuffled([0, 1], randomness.at('shown', ordinal)),
    replaces: null,
  } satisfies TrialDesign;
};

/**
 * Which of the two prototypes comes first in each trial of a sitting: each in half of them, to within one. Two
 * listeners share a draw, the second hearing every trial the other way round, so that the balance is over people too.
 */
function sides(trials: number, sitting: number, ordinal: number, randomness: Randomness): boolean[] {
  const block = Math.floor((ordinal - 1) / 2);
  const drawn = sidesOfBlock(trials, sitting, block, randomness);
  return ordinal % 2 === 1 ? drawn : drawn.map((side) => !side);
}

/** The block that was drawn last from each source: the trials of a sitting ask for the same again and again. */
const lastDrawn = new WeakMap<Randomness, { address: string; sides: boolean[] }>();

function sidesOfBlock(trials: number, sitting: number, block: number, randomness: Randomness): boolean[] {
  const address = `${trials} ${sitting} ${block}`;
  const last = lastDrawn.get(randomness);
  if (last?.address === address) return last.sides;
  const even = Array.from({ length: trials }, (_, i) => i % 2 === 0);
  const drawn = shuffled(even, randomness.at('sitting', sitting, 'sides', block));
  lastDrawn.set(randomness, { address, sides: drawn });
  return drawn;
}

export const abx: Protocol<AbxSpec, AbxAnswer, Ears> = {
  id: 'abx',
  family: 'difference',
  aims: ['difference', 'similarity'],
  smallest: 'heard',
  chance: 1 / 2,
  standards: [],
  spec,
  controls: differenceControls,

  problems: (_spec, plan) => notTwo('ABX', plan),

  form: (): PickOneForm => ({
    kind: 'pick-one',
    question: 'question.match',
    presentations: 3,
    choices: [0, 1],
    matched: 2,
    none: null,
    words: false,
  }),

  controlTrial(_spec, _plan, pair, randomness) {
    const { presentations, shown } = design(pair, 0, randomness.at('first').below(2) === 0, randomness);
    return { presentations, shown };
  },

  trials: ({ trials }) => trials,
  practicePresentations: () => 3,

  next({ trials }, plan, seat, history, randomness) {
    const samples = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
    const own = {
      at: (...path: (string | number)[]) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path),
    };
    if (history.length === 0) return design(samples, 0, own.at('practice').below(2) === 0, own);
    const planned = history.filter((past) => !past.design.practice && past.design.replaces === null).length;
    if (planned < trials) {
      const firstIsA = sides(trials, seat.sitting, seat.ordinal, randomness)[planned] as boolean;
      return design(samples, planned + 1, firstIsA, own);
    }
    // Drawn anew altogether: whoever remembers the spoilt trial knows nothing of this one.
    const again = putAgain(history);
    if (!again) return 'done';
    const turned = own.at('again', again.ordinal).below(2) === 1;
    return { ...design(samples, again.ordinal, turned, own), replaces: again.spoilt.ordinal };
  },

  answer: () => answer,

  read(_form, codes, sent) {
    if (!('picked' in sent)) return null;
    // The third may bear the code of its twin, so only the first two are looked at.
    const position = codes.slice(0, 2).indexOf(sent.picked);
    return position < 0 ? null : { picked: position === 0 ? 1 : 2 };
  },

  score(_form, { presentations }, { picked }) {
    return [{ scale: null, value: presentations[picked - 1] === presentations[2] ? 1 : 0, late: false }];
  },

  analyse: (outcomes, plan, options) => analyseRights(outcomes, plan, 1 / 2, options),
  evidence: (outcomes, plan, audience) => rightsEvidence(outcomes, plan, audience, 1 / 2),

  listener: earsOf,

  simulate(truth, ears, meeting, random) {
    const [a, , x] = meeting.design.presentations;
    return heardAnswer<AbxAnswer>(
      truth,
      ears,
      meeting,
      {
        right: () => ({ picked: a === x ? 1 : 2 }),
        /** The one whose impression is nearer to the third's. */
        byEar([first, second, third]) {
          const [near, far] = [Math.abs((third ?? 0) - (first ?? 0)), Math.abs((third ?? 0) - (second ?? 0))];
          return { picked: near <= far ? 1 : 2 };
        },
        offered: [{ picked: 1 }, { picked: 2 }],
      },
      random,
    );
  },
};
