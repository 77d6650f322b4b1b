import { z } from 'zod';
import { askedInOrders } from './asked-in-orders';
import { differenceControls } from './difference-controls';
import { readPlace } from './places';
import { trialsSpec } from './trials-spec';

/**
 * Duo-trio (ISO 10399): a reference, then two samples, one of them the same as the reference; which? For whoever needs
 * something to hold on to, or knows one of the two well: then it is always the reference (`constant`), else each in turn
 * (`balanced`). Whoever hears nothing is right in half of the trials, by whatever habit of answering, since the same one
 * comes first in half of the orders.
 */

const references = ['balanced', 'constant'] as const;
const spec = z.strictObject({
  trials: trialsSpec,
  /** `constant`: always the one that the primary comparison names first. */
  reference: z.enum(references).default('balanced'),
});
export type DuoTrioSpec = z.infer<typeof spec>;

const places = [2, 3] as const;
const answer = z.strictObject({
  /** The place of the one that is said to be the reference again. */
  picked: z.literal(places),
});
export type DuoTrioAnswer = z.infer<typeof answer>;

export const duoTrio = askedInOrders<DuoTrioSpec, DuoTrioAnswer>({
  id: 'duo-trio',
  called: 'A duo-trio',
  aims: ['difference', 'similarity'],
  chance: 1 / 2,
  standards: ['ISO 10399:2017'],
  spec,
  answer,
  controls: differenceControls,
  form: () => ({
    kind: 'pick-one',
    question: 'question.same-as-first',
    presentations: 3,
    choices: [1, 2],
    matched: 0,
    none: null,
    words: false,
    byPlace: true,
  }),
  orders: ({ reference }, a, b) => {
    const constant = [
      [a, a, b],
      [a, b, a],
    ];
    return reference === 'constant' ? constant : [...constant, [b, b, a], [b, a, b]];
  },
  read(sent) {
    const picked = readPlace(sent, places);
    return picked && { picked };
  },
  isRight: ({ presentations }, { picked }) => presentations[picked - 1] === presentations[0],
  /** The one whose impression is nearer to the reference's. */
  byEar(impressions) {
    const [reference, x, y] = impressions as [number, number, number];
    return { picked: Math.abs(x - reference) <= Math.abs(y - reference) ? 2 : 3 };
  },
  offered: places.map((picked) => ({ picked })),
});
