import { z } from 'zod';
import { askedInOrders } from './asked-in-orders';
import { attributeSpec, byMore, largest } from './attribute';
import { directionalControls } from './difference-controls';
import { readPlace } from './places';
import { trialsSpec } from './trials-spec';

/**
 * Three-alternative forced choice: three samples, two of them alike; which has more of something that was named
 * beforehand? The plan says which of the two prototypes should have more, and that one is there once. Whoever hears
 * nothing is right in a third of the trials, by whatever habit of answering, since it stands at each place in a third of
 * the orders (Green & Swets 1966, Signal Detection Theory and Psychophysics; from memory).
 */

const spec = z.strictObject({ trials: trialsSpec, attribute: attributeSpec });
export type ThreeAfcSpec = z.infer<typeof spec>;

const places = [1, 2, 3] as const;
const answer = z.strictObject({
  /** The place of the one that is said to have more. */
  picked: z.literal(places),
});
export type ThreeAfcAnswer = z.infer<typeof answer>;

export const threeAfc = askedInOrders<ThreeAfcSpec, ThreeAfcAnswer>({
  id: '3-afc',
  called: 'A directional three',
  aims: ['difference', 'similarity'],
  chance: 1 / 3,
  standards: [],
  spec,
  answer,
  controls: directionalControls,
  form: ({ attribute }) => ({
    kind: 'pick-one',
    question: 'question.more',
    attribute,
    presentations: 3,
    choices: [0, 1, 2],
    matched: null,
    none: null,
    words: false,
    byPlace: true,
  }),
  orders: (_spec, more, less) => [
    [more, less, less],
    [less, more, less],
    [less, less, more],
  ],
  roles: byMore,
  read(sent) {
    const picked = readPlace(sent, places);
    return picked && { picked };
  },
  // The one that should have more is the one that is there once.
  isRight: ({ presentations }, { picked }) =>
    presentations.filter((one) => one === presentations[picked - 1]).length === 1,
  byEar: (impressions) => ({ picked: largest(impressions) as ThreeAfcAnswer['picked'] }),
  offered: places.map((picked) => ({ picked })),
});
