export { type Size, twice } from '../chart';

/** Pictures for the verdict. */

export interface Chart {
  svg: string;
  /** Null where an earlier chart of the same kind has it. */
  caption: string | null;
}

/**
 * After unsealing a prototype has a hue and a symbol, the same in every chart of the study. There are eight hues that can be
 * told apart; from the ninth prototype on they come again, in a thick ring of ink.
 */
const shapes = ['circle', 'square', 'triangle', 'diamond', 'star', 'cross', 'wye', 'hexagon'] as const;
const filledSigns = ['●', '■', '▲', '◆', '★', '✚', '▼', '⬢'] as const;
const ringedSigns = ['○', '□', '△', '◇'] as const;

export const symbols: readonly string[] = [
  ...shapes,
  ...shapes.slice(0, ringedSigns.length).map((shape) => `${shape}, ringed`),
];
export const symbolSigns: readonly string[] = [...filledSigns, ...ringedSigns];
const isRinged = (place: number): boolean => place >= shapes.length;
export const hueClass = (place: number): string => `hue-${(Math.max(0, place) % shapes.length) + 1}`;
export const signOf = (place: number): string => symbolSigns[place] ?? '';

/** A mark in its prototype's hue: without a line of its own, or ringed. */
export const markOptions = (place: number, r = 7) => ({
  r,
  symbol: shapes[Math.max(0, place) % shapes.length] ?? 'circle',
  fill: 'currentColor',
  stroke: 'none',
  className: `chart-mark ${hueClass(place)}${isRinged(place) ? ' chart-ringed' : ''}`,
});

/** A mark of what is no prototype's. */
export const plainMark = (r = 7) => ({ r, fill: 'currentColor', stroke: 'none', className: 'chart-came' });
