export { type Size, twice } from '../chart';

/** Pictures for the verdict. */

export interface Chart {
  svg: string;
  /** Null where an earlier chart of the same kind has it. */
  caption: string | null;
}

/** After unsealing a prototype has a hue and a symbol, the same in every chart of the study. */
export const symbols = ['circle', 'square', 'triangle', 'diamond', 'star', 'cross', 'wye', 'hexagon'] as const;
export const symbolSigns = ['●', '■', '▲', '◆', '★', '✚', '▼', '⬢'] as const;
export const hueClass = (place: number): string => `hue-${place + 1}`;
export const symbolOf = (place: number): (typeof symbols)[number] => symbols[place % symbols.length] ?? 'circle';
export const signOf = (place: number): string => symbolSigns[place % symbolSigns.length] ?? '';

/** A mark in its prototype's hue, without a line of its own. */
export const markOptions = (place: number) => ({
  r: 7,
  symbol: symbolOf(place),
  fill: 'currentColor',
  stroke: 'none',
  className: `chart-mark ${hueClass(place)}`,
});
