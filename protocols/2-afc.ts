import { z } from 'zod';
import { askedInOrders } from './asked-in-orders';
import { attributeSpec, byMore, largest, shouldHaveMore } from './attribute';
import { directionalControls } from './difference-controls';
import { readPlace } from './places';
import { trialsSpec } from './trials-spec';

/**
 * Directional paired comparison (ISO 5495, ASTM E2164), two-alternative forced choice: two samples; which has more of
 * something that was named beforehand? The plan says which one should have more, so it is one-sided: right is whoever
 * names that one. Whoever hears nothing is right in half of the trials, by whatever habit of answering, since it comes
 * first in half of the orders.
 */

const spec = z.strictObject({ trials: trialsSpec, attribute: attributeSpec });
export type TwoAfcSpec = z.infer<typeof spec>;

const places = [1, 2] as const;
const answer = z.strictObject({
  /** The place of the one that is said to have more. */
  picked: z.literal(places),
});
export type TwoAfcAnswer = z.infer<typeof answer>;

export const twoAfc = askedInOrders<TwoAfcSpec, TwoAfcAnswer>({
  id: '2-afc',
  called: 'A directional pair',
  aims: ['difference', 'similarity'],
  chance: 1 / 2,
  standards: ['ISO 5495:2005', 'ASTM E2164'],
  spec,
  answer,
  controls: directionalControls,
  form: ({ attribute }) => ({
    kind: 'pick-one',
    question: 'question.more',
    attribute,
    presentations: 2,
    choices: [0, 1],
    matched: null,
    none: null,
    words: false,
    byPlace: true,
  }),
  orders: (_spec, more, less) => [
    [more, less],
    [less, more],
  ],
  roles: byMore,
  read(sent) {
    const picked = readPlace(sent, places);
    return picked && { picked };
  },
  isRight: (trial, { picked }, plan) => trial.presentations[picked - 1] === shouldHaveMore(trial, plan),
  byEar: (impressions) => ({ picked: largest(impressions) as TwoAfcAnswer['picked'] }),
  offered: places.map((picked) => ({ picked })),
});
