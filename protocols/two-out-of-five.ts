import { z } from 'zod';
import { askedInOrders } from './asked-in-orders';
import { differenceControls } from './difference-controls';
import { pairsOfPlaces, readPair } from './places';
import { trialsSpec } from './trials-spec';

/**
 * Two out of five (ISO 6658): five samples, two of one kind and three of the other; which are the two? Whoever hears
 * nothing is right in a tenth of the trials, by whatever habit of answering: there are ten pairs, and of the twenty orders
 * each pair is the right one in two. A single right answer says more than in any other method, for five samples to hear
 * and to remember: many for ears.
 */

const spec = z.strictObject({ trials: trialsSpec });
export type TwoOutOfFiveSpec = z.infer<typeof spec>;

const samples = 5;
const place = z.int().min(1).max(samples);
const answer = z.strictObject({
  /** Places of the two, in order. */
  picked: z.tuple([place, place]).refine(([first, second]) => first < second, 'two places, in order'),
});
export type TwoOutOfFiveAnswer = z.infer<typeof answer>;

const pairs = pairsOfPlaces(samples);

export const twoOutOfFive = askedInOrders<TwoOutOfFiveSpec, TwoOutOfFiveAnswer>({
  id: 'two-out-of-five',
  called: 'Two out of five',
  aims: ['difference'],
  chance: 1 / 10,
  standards: ['ISO 6658'],
  spec,
  answer,
  controls: differenceControls,
  form: () => ({
    kind: 'pick-group',
    question: 'question.two-alike',
    presentations: samples,
    size: 2,
    bothGroups: false,
    byPlace: true,
  }),
  orders: (_spec, a, b) =>
    [a, b].flatMap((two) => {
      const three = two === a ? b : a;
      return pairs.map((pair) => Array.from({ length: samples }, (_, i) => (pair.includes(i + 1) ? two : three)));
    }),
  read(sent) {
    const picked = readPair(sent, samples);
    return picked && { picked };
  },
  isRight: ({ presentations }, { picked }) => {
    const two = presentations[picked[0] - 1];
    return (
      picked.every((one) => presentations[one - 1] === two) && presentations.filter((one) => one === two).length === 2
    );
  },
  /** The pair that leaves the least spread within the two groups, by sums of squares. */
  byEar(impressions) {
    let [best, least] = [pairs[0] as [number, number], Number.POSITIVE_INFINITY];
    for (const pair of pairs) {
      const spread =
        within(impressions.filter((_, i) => pair.includes(i + 1))) +
        within(impressions.filter((_, i) => !pair.includes(i + 1)));
      if (spread < least) [best, least] = [pair, spread];
    }
    return { picked: best };
  },
  offered: pairs.map((picked) => ({ picked })),
});

/** Squares about the mean, summed up. */
function within(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
}
