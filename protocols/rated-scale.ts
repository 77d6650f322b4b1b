import type { AskedScale } from '../shared/scales';

/** What the analysis may know of a scale: its id, and how long it is, in points of a plan's scale or as a form asks it. */
export type RatedScale = { id: string } & Partial<Pick<AskedScale, 'from' | 'to' | 'per' | 'shape' | 'marks'>> & {
    points?: number;
  };

/** From one end of a scale to the other, in points as they are read; null where its length isn't known. */
export function rangeOf({ from, to, per = 1, points }: RatedScale): number | null {
  if (from !== undefined && to !== undefined) return (to - from) / per;
  return points === undefined ? null : points - 1;
}

/**
 * How coarsely people answer on it, in points as they are read: a step where places are tapped; on a line from one word
 * to the next, since answers gather at its words, or a tenth of it where it has none.
 */
export function stepOf({ from, to, per = 1, shape, marks = [] }: RatedScale): number {
  if (shape !== 'line' || from === undefined || to === undefined) return 1 / per;
  const places = marks.map(({ at }) => at).sort((a, b) => a - b);
  const [first, second] = places;
  return (places.length > 2 && second !== undefined ? second - (first as number) : (to - from) / 10) / per;
}
