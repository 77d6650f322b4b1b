import * as Plot from '@observablehq/plot';
import type { YesNo } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { type Chart, markOptions, twice } from '../chart';
import { placeIn } from '../plan-names';
import { kindsOf } from './kinds';

/** A listener, or the panel: how often yes was said to the one kind of trials and to the other. */
interface Row {
  name: string;
  signal: number;
  noise: number;
}

/** Two marks on one line for each listener: the farther apart, the better told apart. Null before any answer. */
export function ratesChart(yesNo: YesNo, plan: Plan): Chart | null {
  const rows = rowsOf(yesNo);
  if (rows.length === 0) return null;
  const { yes, signalShort, noiseShort, prototypes } = kindsOf(plan);
  const places = prototypes?.map(placeIn(plan));
  // What is both prototypes has the hue of neither.
  const [signal, noise] = places
    ? places.map((place) => markOptions(place))
    : [
        { r: 7, fill: 'currentColor', stroke: 'none', className: 'chart-came' },
        { r: 6, stroke: 'currentColor', strokeWidth: 2, className: 'chart-hollow' },
      ];
  const svg = twice(`How often ${yes} was said`, ({ narrow }) => {
    const row = narrow ? 44 : 32;
    return {
      height: 116 + rows.length * row,
      marginLeft: narrow ? 18 : 130,
      marginRight: narrow ? 24 : 30,
      marginTop: 52,
      marginBottom: 46,
      x: {
        label: `Share of trials in which ${yes} was said`,
        labelAnchor: 'center',
        labelArrow: 'none',
        domain: [0, 1],
        tickFormat: '.0%',
        ticks: narrow ? 5 : 11,
      },
      y: { axis: null, domain: rows.map(({ name }) => name) },
      marks: [
        Plot.text(rows, {
          y: 'name',
          text: 'name',
          frameAnchor: 'left',
          ...(narrow ? { textAnchor: 'start', lineAnchor: 'bottom', dy: -9 } : { textAnchor: 'end', dx: -12 }),
        }),
        Plot.ruleY(rows, { x1: 'noise', x2: 'signal', y: 'name', className: 'chart-interval', strokeWidth: 2 }),
        Plot.dot(rows, { x: 'noise', y: 'name', ...noise }),
        Plot.dot(rows, { x: 'signal', y: 'name', ...signal }),
        ...keyOf(signalShort, noiseShort, signal, noise),
      ],
    } as Plot.PlotOptions;
  });
  return {
    svg,
    caption: `A line for each listener, first all together. Where the two marks lie together, ${yes} was said as often to the one kind of trials as to the other.`,
  };
}

/** What the two marks are, over the picture. */
const keyOf = (signalShort: string, noiseShort: string, signal: object = {}, noise: object = {}) =>
  [
    { words: signalShort, dy: -36, mark: signal },
    { words: noiseShort, dy: -16, mark: noise },
  ].flatMap(({ words, dy, mark }) => [
    Plot.dot([0], { frameAnchor: 'top-left', dx: 8, dy, ...mark }),
    Plot.text([words], { frameAnchor: 'top-left', dx: 22, dy, lineAnchor: 'middle', className: 'chart-key' }),
  ]);

function rowsOf({ listeners, hits, signalTrials, falseAlarms, noiseTrials }: YesNo): Row[] {
  const of = (count: number, trials: number) => (trials === 0 ? null : count / trials);
  const all = { listener: 'All', hits, signalTrials, falseAlarms, noiseTrials };
  return [...(listeners.length > 1 ? [all] : []), ...inOrder(listeners)].flatMap((one) => {
    const [signal, noise] = [of(one.hits, one.signalTrials), of(one.falseAlarms, one.noiseTrials)];
    return signal === null || noise === null ? [] : [{ name: one.listener, signal, noise }];
  });
}

export const inOrder = (listeners: YesNo['listeners']): YesNo['listeners'] =>
  listeners.toSorted((a, b) => a.listener.localeCompare(b.listener, 'en', { numeric: true }));
