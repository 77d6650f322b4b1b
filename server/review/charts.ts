import * as Plot from '@observablehq/plot';
import { parseHTML } from 'linkedom';
import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { chosenPercent } from '../plan-words';

/** Pictures for the verdict, drawn on the server as SVG without a style of its own: the page's style sheet colours it. */

export const symbols = ['circle', 'square', 'triangle', 'diamond', 'star', 'cross', 'wye', 'hexagon'] as const;
export const symbolSigns = ['●', '■', '▲', '◆', '★', '✚', '▼', '⬢'] as const;
export const hueClass = (index: number): string => `hue-${index + 1}`;

interface Row {
  name: string;
  value: number;
  lower: number | null;
  upper: number | null;
  index: number;
}

type Result = Findings['results'][number];

/** Scores of three or more prototypes with their intervals; for two, the share of whoever is ahead. Null without either. */
export function chartOf(result: Result, plan: Plan): { svg: string; caption: string } | null {
  const name = (id: string) => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? id;
  const index = (id: string) => plan.prototypes.findIndex((prototype) => prototype.id === id);
  if (result.scores) {
    const rows = result.scores.scores
      .map((score) => ({
        name: name(score.prototype),
        value: score.logWorth,
        lower: score.lower,
        upper: score.upper,
        index: index(score.prototype),
      }))
      .sort((a, b) => b.value - a.value);
    return {
      svg: draw(rows, { label: 'Score (log worth, sum zero)', from: 0, mark: 'mean of all' }),
      caption: `${
        result.scores.halfWinAdded
          ? 'Preference scores estimated with half a win added each way, since the data separate; so they have no intervals.'
          : `Preference scores with ${chosenPercent(result.scores.level)} intervals, panels of listeners drawn anew ${result.scores.resamples.toLocaleString('en')} times.`
      } Two prototypes one point apart share choices about 73 to 27.`,
    };
  }
  if (!result.estimate || !result.pairs[0]) return null;
  // As sentence and figures have it: the share of whoever is ahead.
  const { level } = result.estimate;
  const turned = result.estimate.value < 0.5;
  const { value, lower, upper } = turned ? turnedOver(result.estimate) : result.estimate;
  const pair = result.pairs[0];
  const [ahead, behind] = turned ? [pair.second, pair.first] : [pair.first, pair.second];
  const rows = [{ name: name(ahead), value, lower, upper, index: index(ahead) }];
  return {
    svg: draw(rows, {
      label: `Share of choices for ${name(ahead)} over ${name(behind)}`,
      from: 0.5,
      mark: 'neither preferred',
      domain: [0, 1],
    }),
    caption: `Share of choices with its ${chosenPercent(level)} interval, every listener counting the same.`,
  };
}

const turnedOver = (one: { value: number; lower: number; upper: number }) => ({
  value: 1 - one.value,
  lower: 1 - one.upper,
  upper: 1 - one.lower,
});

interface Axis {
  label: string;
  from: number;
  mark: string;
  domain?: [number, number];
}

/** The same picture twice: with the names beside the rows, and for small screens with the names above them. */
function draw(rows: readonly Row[], axis: Axis): string {
  return `<div class="chart-wide">${drawAt(rows, axis, 640)}</div><div class="chart-narrow">${drawAt(rows, axis, 328)}</div>`;
}

function drawAt(rows: readonly Row[], axis: Axis, width: number): string {
  const { document } = parseHTML('<!doctype html><html><body></body></html>');
  const narrow = width < 480;
  const figure = Plot.plot({
    document: document as unknown as Document,
    width,
    height: 90 + rows.length * (narrow ? 60 : 44),
    marginLeft: narrow ? 14 : 150,
    marginRight: narrow ? 14 : 30,
    marginBottom: 46,
    marginTop: narrow ? 36 : 26,
    x: {
      label: axis.label,
      labelAnchor: 'center',
      labelArrow: 'none',
      ...(narrow ? { ticks: 5 } : {}),
      ...(axis.domain ? { domain: axis.domain, tickFormat: '.0%' } : { nice: true }),
    },
    y: { label: null, domain: rows.map((row) => row.name), tickSize: 0, ...(narrow ? { axis: null } : {}) },
    marks: [
      Plot.ruleX([axis.from], { className: 'chart-zero' }),
      Plot.text([axis.mark], { x: axis.from, frameAnchor: 'top', dy: narrow ? -28 : -20, className: 'chart-note' }),
      ...(narrow
        ? [Plot.text(rows, { y: 'name', text: 'name', frameAnchor: 'left', textAnchor: 'start', dy: -20 })]
        : []),
      Plot.ruleY(
        rows.filter((row) => row.lower !== null && row.upper !== null),
        { x1: 'lower', x2: 'upper', y: 'name', strokeWidth: 2, className: 'chart-interval' },
      ),
      ...rows.map((row) =>
        Plot.dot([row], {
          x: 'value',
          y: 'name',
          r: 7,
          symbol: symbols[row.index % symbols.length] ?? 'circle',
          fill: 'currentColor',
          stroke: 'none',
          className: `chart-mark ${hueClass(row.index)}`,
        }),
      ),
    ],
  } as Plot.PlotOptions);
  return clean(figure, axis.label);
}

/** Out with everything that a strict policy for styles refuses; in with a name for screen readers. */
function clean(figure: Element, label: string): string {
  for (const style of figure.querySelectorAll('style')) style.remove();
  for (const element of [figure, ...figure.querySelectorAll('[style]')]) element.removeAttribute('style');
  // As text, since the name of a prototype may hold anything, and an attribute is not escaped for it everywhere.
  const name = label.replaceAll('&', '&amp;').replaceAll('"', '&quot;').replaceAll('<', '&lt;');
  return figure.outerHTML.replace(
    '<svg ',
    () => `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="${name}" `,
  );
}
