import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import { askedInOrders } from './asked-in-orders';
import { differenceControls } from './difference-controls';
import { readPlace } from './places';
import { trialsSpec } from './trials-spec';

/**
 * Triangle (ISO 4120): three samples, two of them alike; which is the odd one? It needs no idea of what differs. Whoever
 * hears nothing is right in a third of the trials, by whatever habit of answering: each of the six orders is as likely as
 * any other, and in two of them the odd one stands where it is said to stand.
 */

const spec = z.strictObject({ trials: trialsSpec });
export type TriangleSpec = z.infer<typeof spec>;

const places = [1, 2, 3] as const;
const answer = z.strictObject({
  /** The place of the odd one. */
  picked: z.literal(places),
});
export type TriangleAnswer = z.infer<typeof answer>;

/** Whether the sample at that place, from 1, is there once. */
const isOdd = (presentations: readonly PrototypeId[], place: number): boolean =>
  presentations.filter((one) => one === presentations[place - 1]).length === 1;

export const triangle = askedInOrders<TriangleSpec, TriangleAnswer>({
  id: 'triangle',
  called: 'A triangle',
  aims: ['difference', 'similarity'],
  chance: 1 / 3,
  standards: ['ISO 4120:2021'],
  spec,
  answer,
  controls: differenceControls,
  form: () => ({
    kind: 'pick-one',
    question: 'question.odd',
    presentations: 3,
    choices: [0, 1, 2],
    matched: null,
    none: null,
    words: false,
    byPlace: true,
  }),
  orders: (_spec, a, b) => [
    [a, a, b],
    [a, b, a],
    [b, a, a],
    [b, b, a],
    [b, a, b],
    [a, b, b],
  ],
  read(sent) {
    const picked = readPlace(sent, places);
    return picked && { picked };
  },
  isRight: ({ presentations }, { picked }) => isOdd(presentations, picked),
  byEar: (impressions) => ({ picked: farthest(impressions) }),
  offered: places.map((picked) => ({ picked })),
});

/** The two whose impressions are nearest are taken for alike, so that the third is the odd one. */
function farthest(impressions: readonly number[]): TriangleAnswer['picked'] {
  const [x, y, z] = impressions as [number, number, number];
  const [xy, xz, yz] = [Math.abs(x - y), Math.abs(x - z), Math.abs(y - z)];
  if (yz <= xy && yz <= xz) return 1;
  return xz <= xy ? 2 : 3;
}
