import * as Plot from '@observablehq/plot';
import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, minus } from '../../number-words';
import { type Chart, twice } from '../chart';
import { type FigureWords, figureWords } from './words';

/** So many lines of single listeners can be told from each other; of more, every so manieth is drawn. */
export const mostLines = 60;

/**
 * The figure of the verdict from sitting to sitting: a thin line a listener, the mean with its interval above them, and the
 * lines that matter. Null where nobody sat twice.
 */
export function figureChart(found: OverTimeFindings, plan: Plan): Chart | null {
  const { sittings, neutral, listeners } = found;
  const last = sittings.at(-1)?.sitting ?? 0;
  if (found.again === null || last < 2) return null;
  const words = figureWords(found, plan);
  const drawn = thinned(listeners.filter((one) => one.sittings.length > 1));
  const points = drawn.flatMap((one) => one.sittings.map((own) => ({ ...own, listener: one.listener })));
  const { domain, lines } = axisOf(found, words);
  const tick = tickWords(found, words);
  const svg = twice(capital(words.counted), ({ narrow }) => ({
    height: narrow ? 280 : 300,
    marginLeft: 54,
    marginRight: narrow ? 14 : 190,
    marginTop: narrow ? 26 + 16 * lines.length : 20,
    marginBottom: 46,
    x: sittingsAxis(last, narrow),
    y: { domain, label: null, ticks: 5, tickFormat: tick, tickSize: 0 },
    marks: [
      Plot.gridY({ ticks: 5, className: 'chart-grid' }),
      Plot.ruleX([1.5], { className: 'chart-zero' }),
      Plot.ruleY([neutral], { className: 'chart-zero' }),
      Plot.ruleY(
        lines.filter(({ at }) => at !== neutral),
        { y: 'at', className: 'chart-critical' },
      ),
      ...lines.map(({ at, says, wordsAt }, i) =>
        narrow
          ? Plot.text([`${tick(at)}: ${says}`], {
              frameAnchor: 'top-left',
              dx: -40,
              dy: -18 - 16 * (lines.length - 1 - i),
              className: 'chart-note',
            })
          : Plot.text([says], { x: last + 0.2, y: wordsAt, dx: 6, textAnchor: 'start', className: 'chart-note' }),
      ),
      Plot.line(points, { x: 'sitting', y: 'value', z: 'listener', className: 'chart-listener' }),
      Plot.line(sittings, { x: 'sitting', y: 'value', strokeWidth: 2.5, className: 'chart-panel' }),
      Plot.ruleX(
        sittings.filter(({ lower }) => lower !== null),
        { x: 'sitting', y1: 'lower', y2: 'upper', strokeWidth: 2.5, className: 'chart-panel' },
      ),
      Plot.dot(sittings, {
        x: 'sitting',
        y: 'value',
        r: 6,
        fill: 'currentColor',
        stroke: 'none',
        className: 'chart-came',
      }),
    ],
  }));
  return { svg, caption: captionOf(found, drawn.length, words, plan) };
}

/** Own sittings, from the first to the last. */
export const sittingsAxis = (last: number, narrow: boolean) => ({
  label: narrow ? 'Own sitting' : 'Listeners’ own sitting in this study',
  labelAnchor: 'center' as const,
  labelArrow: 'none' as const,
  domain: [0.8, last + 0.2],
  ticks: Array.from({ length: last }, (_, i) => i + 1),
  tickFormat: 'd',
  tickSize: 0,
});

/** Points stand on an axis without decimals that say nothing. */
const tickWords = ({ of }: OverTimeFindings, { value }: FigureWords): ((tick: number) => string) =>
  of === 'points' ? (tick) => minus(String(tick)) : value;

/** Evenly over the list, which is by number of joining. */
export function thinned<T>(all: readonly T[]): T[] {
  if (all.length <= mostLines) return [...all];
  return Array.from({ length: mostLines }, (_, i) => all[Math.floor((i * all.length) / mostLines)] as T);
}

interface Marked {
  at: number;
  says: string;
  /** So far from others that their words don't cover each other. */
  wordsAt: number;
}

/** As far as listeners' figures go, with the line of neither side, and of how far from it is worth finding. */
function axisOf(
  { neutral, margin, listeners, sittings, of }: OverTimeFindings,
  { neutral: says }: FigureWords,
): { domain: [number, number]; lines: Marked[] } {
  const both = of !== 'correct' && of !== 'apart';
  const marks = [
    { at: neutral + margin, says: 'worth finding ↑', way: 1 },
    { at: neutral, says, way: 0 },
    ...(both ? [{ at: neutral - margin, says: 'worth finding ↓', way: -1 }] : []),
  ];
  const all = [
    ...marks.map(({ at }) => at),
    ...listeners.flatMap((one) => one.sittings.map(({ value }) => value)),
    ...sittings.flatMap(({ lower, upper }) => (lower === null || upper === null ? [] : [lower, upper])),
  ];
  const [low, high] = [Math.min(...all), Math.max(...all)];
  const more = (high - low) * 0.05;
  const gap = Math.max(margin, (high - low) * 0.08);
  return {
    domain: [low - more, high + more],
    lines: marks.map(({ at, says: words, way }) => ({ at, says: words, wordsAt: neutral + way * gap })),
  };
}

function captionOf(found: OverTimeFindings, drawn: number, { counted }: FigureWords, plan: Plan): string {
  const { sittings, listeners } = found;
  const level = sittings[0]?.level ?? 1 - plan.risks.alpha;
  const twiceThere = listeners.filter((one) => one.sittings.length > 1).length;
  const counts = sittings.map((one) => one.listeners);
  const who =
    new Set(counts).size < 2
      ? `${counts[0]} listeners each time`
      : `not everybody came every time: ${counts.join(', ')} listeners`;
  const lines = drawn < twiceThere ? `${drawn} of ${twiceThere} listeners, evenly chosen` : 'one a listener';
  return `${capital(counted)}. Bold: mean over listeners with its ${chosenPercent(level)} interval, ${who}. Thin lines: ${lines}.${followNote(plan)}`;
}

/** Who comes from another study had heard the samples before the first sitting of this one. */
export const followNote = ({ follows }: Plan): string =>
  follows ? ' This study goes on from an earlier one, so its first sitting need not be a first contact.' : '';

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
