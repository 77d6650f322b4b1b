import * as Plot from '@observablehq/plot';
import { minus } from '../../number-words';
import { plainMark, twice } from '../chart';

/** Listeners as dots, each with the number that he or she has in the audience. */

export interface Dot {
  /** "Home 3". */
  listener: string;
  value: number;
  /** Where guessing would put this listener, as a thin line. */
  lower?: number;
  upper?: number;
  noted: boolean;
}

export interface DotAxis {
  /** What is seen: the name of the picture. */
  title: string;
  label: string;
  domain: [number, number];
  percent?: boolean;
  /** A thin line with its words. */
  mark?: { at: number; words: string };
}

/** More have no room for a line each. */
const mostLines = 24;
/** More dots than that have no room for a number each: then those at the ends and those noted have theirs; the table has all. */
const mostNumbers = 16;
const atTheEnds = 3;

export const numberOf = (listener: string): string => listener.slice(listener.lastIndexOf(' ') + 1);

/** A line for each listener; of a large panel, dots heaped up where they are alike, whose names the table has. */
export function dotsChart(dots: readonly Dot[], axis: DotAxis): string {
  return dots.length > mostLines ? heapChart(dots, axis) : linesChart(dots, axis);
}

const xAxis = ({ label, domain, percent }: DotAxis, narrow: boolean): Plot.ScaleOptions => ({
  label,
  labelAnchor: 'center',
  labelArrow: 'none',
  domain,
  ...(narrow ? { ticks: 5 } : {}),
  tickFormat: percent ? '.0%' : (value: number) => minus(String(value)),
});

const anchorAt = (at: number, [from, to]: readonly [number, number]): 'start' | 'middle' | 'end' => {
  const place = to > from ? (at - from) / (to - from) : 0.5;
  return place < 0.2 ? 'start' : place > 0.8 ? 'end' : 'middle';
};

function lineAt(at: number, words: string, domain: readonly [number, number], className: string, dy: number) {
  return [
    Plot.ruleX([at], { className }),
    Plot.text([words], {
      x: at,
      frameAnchor: 'top',
      textAnchor: anchorAt(at, domain),
      dy,
      className: 'chart-note',
    }),
  ];
}

/** Lines of the picture: what it is held against, and the panel's median. */
function lines(dots: readonly Dot[], { mark, domain, percent }: DotAxis) {
  const middle = medianOf(dots.map(({ value }) => value));
  const said = percent ? `${Math.round(middle * 100)}\u00a0%` : minus(String(Number(middle.toFixed(2))));
  return [
    ...(mark ? lineAt(mark.at, mark.words, domain, 'chart-zero', -34) : []),
    ...lineAt(middle, `median ${said}`, domain, 'chart-critical', -18),
  ];
}

function linesChart(dots: readonly Dot[], axis: DotAxis): string {
  return twice(axis.title, ({ narrow }) => ({
    height: 44 + 52 + dots.length * 24,
    marginLeft: narrow ? 84 : 140,
    marginRight: narrow ? 20 : 30,
    marginTop: 44,
    marginBottom: 46,
    x: xAxis(axis, narrow),
    y: { axis: null, domain: dots.map(({ listener }) => listener) },
    marks: [
      ...lines(dots, axis),
      Plot.text(dots, { y: 'listener', text: 'listener', frameAnchor: 'left', textAnchor: 'end', dx: -10 }),
      Plot.ruleY(
        dots.filter(({ lower }) => lower !== undefined),
        { x1: 'lower', x2: 'upper', y: 'listener', strokeWidth: 1, className: 'chart-interval' },
      ),
      Plot.dot(dots, { x: 'value', y: 'listener', ...plainMark(5) }),
    ],
  }));
}

function heapChart(dots: readonly Dot[], axis: DotAxis): string {
  const [first] = dots;
  const alike =
    first?.lower !== undefined && dots.every(({ lower, upper }) => lower === first.lower && upper === first.upper);
  return twice(axis.title, ({ narrow }) => ({
    height: 260,
    marginLeft: 20,
    marginRight: 20,
    marginTop: 44,
    marginBottom: 46,
    x: xAxis(axis, narrow),
    y: { axis: null },
    marks: [
      ...lines(dots, axis),
      ...(alike ? [first.lower, first.upper].map((at) => Plot.ruleX([at], { className: 'chart-interval' })) : []),
      Plot.dot(dots, Plot.dodgeY({ x: 'value', ...plainMark(3), padding: 0.5 })),
    ],
  }));
}

export interface Spot {
  listener: string;
  x: number;
  y: number;
  noted: boolean;
}

/** Two figures of each listener, with the panel's medians as lines. */
export function spotsChart(
  spots: readonly Spot[],
  axes: { title: string; x: string; short: string; y: string; xFrom: number; xTo: number },
): string {
  const shown =
    spots.length <= mostNumbers
      ? spots
      : [
          ...new Set([
            ...spots.filter(({ noted }) => noted),
            ...endsOf(spots, ({ x }) => -x).slice(0, atTheEnds),
            ...endsOf(spots, ({ y }) => y).slice(0, atTheEnds),
          ]),
        ];
  const [acrossMedian, upMedian] = [medianOf(spots.map(({ x }) => x)), medianOf(spots.map(({ y }) => y))];
  const two = (value: number) => minus(value.toFixed(2));
  // Where all agree, the picture is of what sets them apart; zero stands in it as soon as anybody comes near.
  const least = Math.min(...spots.map(({ y }) => y));
  const [yFrom, yTo] = [
    least > 0.4 ? Math.floor(least * 10 - 1) / 10 : Math.min(0, least) - 0.08,
    1 + 0.08 * (1 - Math.min(0.4, least)),
  ];
  return twice(axes.title, ({ width, narrow }) => {
    const frame = { top: 56, right: 24, bottom: 46, left: 52, width, height: narrow ? 340 : 360 };
    const across = `median ${two(upMedian)}`;
    const { numbers, line } = placesOf(spots, shown, [axes.xFrom, axes.xTo], [yFrom, yTo], frame, [upMedian, across]);
    return {
      height: frame.height,
      marginLeft: frame.left,
      marginRight: frame.right,
      marginTop: frame.top,
      marginBottom: frame.bottom,
      x: {
        label: narrow ? axes.short : axes.x,
        labelAnchor: 'center',
        labelArrow: 'none',
        domain: [axes.xFrom, axes.xTo],
        ...(narrow ? { ticks: 5 } : {}),
      },
      y: {
        label: axes.y,
        labelAnchor: 'top',
        labelArrow: 'none',
        domain: [yFrom, yTo],
        ticks: 5,
        tickFormat: (value: number) => minus(String(value)),
      },
      marks: [
        ...(yFrom < 0 ? [Plot.ruleY([0], { className: 'chart-zero' })] : []),
        ...lineAt(acrossMedian, `median ${two(acrossMedian)}`, [axes.xFrom, axes.xTo], 'chart-critical', -14),
        Plot.ruleY([upMedian], { className: 'chart-critical' }),
        Plot.text([across], {
          y: upMedian,
          frameAnchor: line.side,
          textAnchor: line.side === 'left' ? 'start' : 'end',
          dx: line.side === 'left' ? 4 : 0,
          dy: line.dy,
          className: 'chart-note',
        }),
        Plot.dot(spots, { x: 'x', y: 'y', ...plainMark(5) }),
        ...numbers.map(({ spot, dx, dy, textAnchor }) =>
          Plot.text([spot], { x: 'x', y: 'y', text: ({ listener }: Spot) => numberOf(listener), dx, dy, textAnchor }),
        ),
      ],
    };
  });
}

interface Frame {
  width: number;
  height: number;
  top: number;
  right: number;
  bottom: number;
  left: number;
}

/** Where a number may stand beside its dot, the first place that covers nothing being taken. */
const beside = [
  { dx: 8, dy: 0, textAnchor: 'start' },
  { dx: -8, dy: 0, textAnchor: 'end' },
  { dx: 0, dy: 14, textAnchor: 'middle' },
  { dx: 0, dy: -14, textAnchor: 'middle' },
  { dx: 7, dy: 12, textAnchor: 'start' },
  { dx: -7, dy: 12, textAnchor: 'end' },
] as const;

/** Where the words of the line across may stand. */
const atTheLine = [
  { side: 'left', dy: -10 },
  { side: 'left', dy: 12 },
  { side: 'right', dy: -10 },
  { side: 'right', dy: 12 },
] as const;

/** Places for the words of the line across, and for the number of each of those shown; who has no room without covering another goes without. */
function placesOf(
  spots: readonly Spot[],
  shown: readonly Spot[],
  [xFrom, xTo]: readonly [number, number],
  [yFrom, yTo]: readonly [number, number],
  { width, height, top, right, bottom, left }: Frame,
  [lineAcross, words]: readonly [number, string],
) {
  const across = (x: number) => left + ((x - xFrom) / (xTo - xFrom)) * (width - left - right);
  const down = (y: number) => top + ((yTo - y) / (yTo - yFrom)) * (height - top - bottom);
  const boxAt = (x: number, y: number, halfWide: number, halfHigh: number) => [
    x - halfWide,
    x + halfWide,
    y - halfHigh,
    y + halfHigh,
  ];
  const taken = new Map<Spot, number[]>(spots.map((one) => [one, boxAt(across(one.x), down(one.y), 5, 5)]));
  const apart = (a: readonly number[], b: readonly number[]) =>
    (a[1] as number) < (b[0] as number) ||
    (a[0] as number) > (b[1] as number) ||
    (a[3] as number) < (b[2] as number) ||
    (a[2] as number) > (b[3] as number);
  const half = 3.4 * words.length;
  const lineBox = ({ side, dy }: (typeof atTheLine)[number]) =>
    boxAt(side === 'left' ? left + 4 + half : width - right - half, down(lineAcross) + dy, half, 8);
  const line =
    atTheLine.find((place) => [...taken.values()].every((dot) => apart(lineBox(place), dot))) ?? atTheLine[0];
  const written = [lineBox(line)];
  const numbers = [...shown]
    .sort((a, b) => Number(b.noted) - Number(a.noted))
    .flatMap((spot) => {
      const wide = 9 * numberOf(spot.listener).length;
      for (const place of beside) {
        const x = across(spot.x) + place.dx + { start: wide / 2, middle: 0, end: -wide / 2 }[place.textAnchor];
        const box = boxAt(x, down(spot.y) + place.dy, wide / 2, 7);
        // Above the frame stand words of lines.
        const free =
          (box[2] as number) >= top &&
          [...taken].every(([other, dot]) => other === spot || apart(box, dot)) &&
          written.every((one) => apart(box, one));
        if (!free) continue;
        written.push(box);
        return [{ spot, ...place }];
      }
      return [];
    });
  return { numbers, line };
}

function endsOf<T>(all: readonly T[], of: (one: T) => number): T[] {
  const sorted = [...all].sort((a, b) => of(a) - of(b));
  return [...sorted.slice(0, atTheEnds), ...sorted.slice(-atTheEnds)];
}

export function medianOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1
    ? (sorted[half] as number)
    : ((sorted[half - 1] as number) + (sorted[half] as number)) / 2;
}
