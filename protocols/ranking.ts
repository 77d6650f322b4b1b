import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import { dealtSeat } from './dealt-seat';
import type { InOrderForm } from './form';
import type { Protocol, TrialDesign } from './protocol';
import { putAgain } from './put-again';
import { type Randomness, shuffled } from './random';
import { analyseRanking } from './ranking-analysis';
import { rankingOrder } from './ranking-order';
import { rankingProblems } from './ranking-problems';
import { type RankingSpec, rankingSpec } from './ranking-spec';
import { drawnOrder, drawnWorths, type Worths } from './ranking-tastes';

/**
 * Ranking: several samples are put in order, the best first (ISO 8587). With fewer in a ranking than there are
 * prototypes, rankings are balanced incomplete blocks (ISO 29842). No ties: an order is asked for.
 */

const answer = z.strictObject({
  /** Places of the samples in their trial, from 0, the best first. */
  order: z
    .array(z.int().min(0).max(7))
    .min(2)
    .max(8)
    .refine((order) => new Set(order).size === order.length && Math.max(...order) === order.length - 1),
});
export type RankingAnswer = z.infer<typeof answer>;

/** Samples of the practice trial: enough to learn how an order is given, and no more to hear than that takes. */
const practiceSize = 2;

const trial = (
  presentations: PrototypeId[],
  ordinal: number,
  practice: boolean,
  randomness: Randomness,
  replaces: number | null = null,
): TrialDesign => ({
  ordinal,
  practice,
  presentations,
  // The order of codes on the page says nothing of the order of hearing.
  shown: shuffled(
    presentations.map((_, place) => place),
    randomness.at('shown', ordinal),
  ),
  replaces,
});

export const ranking: Protocol<RankingSpec, RankingAnswer, Worths> = {
  id: 'ranking',
  family: 'ranking',
  aims: ['preference'],
  smallest: 'share',
  chance: null,
  standards: ['ISO 8587:2006', 'ISO 29842'],
  spec: rankingSpec,
  controls: {
    hiddenRepeats: 'added',
    identicalPairs: {
      refused:
        'One sample twice in a ranking has no order of its own. Repeat whole rankings instead: they show who keeps to an order.',
    },
    knownDifference: {
      refused: 'Put the sample that everybody should tell among the prototypes: the order shows where it comes.',
    },
    units: {
      refused:
        'Two units of one prototype would take two places of an order. Compare them by a method that asks whether they can be told apart.',
    },
  },
  problems: rankingProblems,

  form: ({ size }): InOrderForm => ({ kind: 'in-order', question: 'question.order', presentations: size }),

  trials: ({ rankings }) => rankings,
  practicePresentations: () => practiceSize,

  next({ size, rankings }, plan, seat, history, randomness) {
    const samples = plan.prototypes.map(({ id }) => id as PrototypeId);
    const own: Randomness = {
      at: (...path) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path),
    };
    if (history.length === 0) {
      return trial(shuffled(samples, own.at('practice')).slice(0, practiceSize), 0, true, own);
    }
    const planned = history.filter(({ design }) => !design.practice && design.replaces === null).length;
    if (planned < rankings) {
      const dealt = dealtSeat(plan, seat, randomness);
      const order = rankingOrder(samples.length, { size, rankings }, dealt, planned, plan, randomness);
      return trial(
        order.map((sample) => samples[sample] as PrototypeId),
        planned + 1,
        false,
        own,
      );
    }
    // The same samples after a mix-up, in an order that is drawn anew: else whoever remembers the spoilt trial could
    // tell which two codes are one sample.
    const again = putAgain(history);
    if (!again) return 'done';
    const presentations = shuffled(again.spoilt.presentations, own.at('again', again.ordinal));
    return trial(presentations, again.ordinal, false, own, again.spoilt.ordinal);
  },

  answer: () => answer,

  read(form, codes, sent) {
    if (form.kind !== 'in-order' || !('picked' in sent)) return null;
    const order = sent.picked.split('>').map((code) => codes.indexOf(code));
    const complete = order.length === codes.length && new Set(order).size === codes.length && !order.includes(-1);
    return complete ? { order } : null;
  },

  /** One value a sample: its rank in this ranking, 1 being the best. */
  score: (_form, { presentations }, { order }) =>
    presentations.map((_, place) => ({ scale: null, place, value: order.indexOf(place) + 1, late: false })),

  analyse: analyseRanking,

  listener: drawnWorths,

  simulate: (truth, listener, { design }, random) => ({
    order: drawnOrder(truth, listener, design.presentations, random),
  }),
};
