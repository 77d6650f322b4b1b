import { z } from 'zod';

/** Rating scales. Their words stand in the plan, since a team may write its own and listeners must all read the same. */

export const scaleLimits = {
  scales: 6,
  /** So many stand on one page of the phone. */
  page: 3,
  name: 40,
  end: 24,
  points: { min: 3, max: 9 },
} as const;

export const scaleIdPattern = /^[a-z][a-z0-9-]{0,39}$/;
export const polarities = ['unipolar', 'bipolar'] as const;

const words = (max: number) => z.string().trim().min(1).max(max);

export const scaleSchema = z.strictObject({
  id: z.string().regex(scaleIdPattern, 'small letters, digits and -, beginning with a letter'),
  name: words(scaleLimits.name),
  /** The words at the two ends. */
  low: words(scaleLimits.end),
  high: words(scaleLimits.end),
  /** Bipolar: two opposites about a middle, an odd number of points about 0. Unipolar: from little to much, from 1. */
  polarity: z.enum(polarities),
  points: z.int().min(scaleLimits.points.min).max(scaleLimits.points.max),
});
export type Scale = z.infer<typeof scaleSchema>;

/** The whole numbers that a scale stores, from its low to its high end: 1 … n, or −k … +k. */
export function scaleValues({ polarity, points }: Pick<Scale, 'polarity' | 'points'>): number[] {
  const first = polarity === 'unipolar' ? 1 : -Math.floor(points / 2);
  return Array.from({ length: points }, (_, i) => first + i);
}

/** Words of the trade to start from (common practice); a team changes them or adds its own. */
export const starterScales: readonly Scale[] = [
  { id: 'liking', name: 'Liking', low: 'dislike', high: 'like', polarity: 'bipolar', points: 7 },
  { id: 'brightness', name: 'Brightness', low: 'dark', high: 'bright', polarity: 'bipolar', points: 7 },
  { id: 'warmth', name: 'Warmth', low: 'thin', high: 'warm', polarity: 'bipolar', points: 7 },
  { id: 'bass', name: 'Bass', low: 'little', high: 'much', polarity: 'unipolar', points: 7 },
  { id: 'stage-width', name: 'Stage width', low: 'narrow', high: 'wide', polarity: 'unipolar', points: 7 },
  { id: 'naturalness', name: 'Naturalness', low: 'unnatural', high: 'natural', polarity: 'unipolar', points: 7 },
  { id: 'comfort', name: 'Comfort', low: 'uncomfortable', high: 'comfortable', polarity: 'bipolar', points: 7 },
];

/** Words on a page: the plan's own, or those of a standard by their key in the words file. */
export type Said = { own: string } | { key: string };

/**
 * A scale as a form asks it, of a plan or of a standard: whole numbers from one end to the other, without a value to
 * start from. `points`: a row of places to tap; `words`: a line of words for each point; `line`: a place anywhere.
 */
export interface AskedScale {
  id: string;
  name: Said;
  /** What is meant by it, in the plan's words. */
  definition?: string;
  low: Said;
  high: Said;
  from: number;
  to: number;
  /** What is stored, over what is read: 10 where people read one decimal. */
  per: 1 | 10;
  shape: 'points' | 'words' | 'line';
  /** Words that stand at some stored values. */
  marks: { at: number; says: Said }[];
}

/** A scale of a plan as a form asks it. */
export function askedScale(scale: Scale, definition?: string): AskedScale {
  const values = scaleValues(scale);
  return {
    id: scale.id,
    name: { own: scale.name },
    ...(definition === undefined ? {} : { definition }),
    low: { own: scale.low },
    high: { own: scale.high },
    from: values[0] as number,
    to: values.at(-1) as number,
    per: 1,
    shape: 'points',
    marks: [],
  };
}
