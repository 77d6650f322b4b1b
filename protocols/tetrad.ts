import { z } from 'zod';
import { askedInOrders } from './asked-in-orders';
import { differenceControls } from './difference-controls';
import { pairsOfPlaces, readPair } from './places';
import { trialsSpec } from './trials-spec';

/**
 * Tetrad (ASTM E3009), samples not named: four samples, two of each; put them in two groups of two. Whoever hears nothing
 * is right in a third of the trials, by whatever habit of answering: four samples fall into two groups of two in three
 * ways, and of the six orders each way is right in two.
 */

const spec = z.strictObject({ trials: trialsSpec });
export type TetradSpec = z.infer<typeof spec>;

const place = z.int().min(1).max(4);
const answer = z.strictObject({
  /** Places of one of the groups, in order; the others are the other group. */
  picked: z.tuple([place, place]).refine(([first, second]) => first < second, 'two places, in order'),
});
export type TetradAnswer = z.infer<typeof answer>;

export const tetrad = askedInOrders<TetradSpec, TetradAnswer>({
  id: 'tetrad',
  called: 'A tetrad',
  aims: ['difference', 'similarity'],
  chance: 1 / 3,
  standards: ['ASTM E3009'],
  spec,
  answer,
  controls: differenceControls,
  form: () => ({
    kind: 'pick-group',
    question: 'question.two-groups',
    presentations: 4,
    size: 2,
    bothGroups: true,
    byPlace: true,
  }),
  orders: (_spec, a, b) => [
    [a, a, b, b],
    [a, b, a, b],
    [a, b, b, a],
    [b, b, a, a],
    [b, a, b, a],
    [b, a, a, b],
  ],
  read(sent) {
    const picked = readPair(sent, 4);
    return picked && { picked };
  },
  isRight: ({ presentations }, { picked: [first, second] }) => presentations[first - 1] === presentations[second - 1],
  /** The two with the lower impressions are one group, the two with the higher the other. */
  byEar(impressions) {
    const [low, next] = impressions.map((_, i) => i).sort((i, j) => (impressions[i] ?? 0) - (impressions[j] ?? 0));
    const group = [(low ?? 0) + 1, (next ?? 0) + 1].sort() as [number, number];
    return { picked: group };
  },
  // The first place with each of the others: the three ways to make two groups.
  offered: pairsOfPlaces(4)
    .slice(0, 3)
    .map((picked) => ({ picked })),
});
