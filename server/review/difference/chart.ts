import * as Plot from '@observablehq/plot';
import type { Difference } from '../../../shared/findings';
import { binomialPmf } from '../../../stats/binomial';
import { answeredAlike, heardBySomeCdf } from '../../../stats/heard-by-some';
import { chosenPercent } from '../../number-words';
import { type Chart, twice } from '../chart';
import { about } from '../figures';

/**
 * Right answers beside what guessing gives: how likely each count is if nobody hears anything, from which count on the
 * difference is shown, and what came. Of a test for similarity: beside what it gives to be heard as often as the limit, and
 * up to which count similarity is shown. Null before any answer.
 */
export function rightsChart(difference: Difference, chance: number): Chart | null {
  const { correct, trials, similarity } = difference;
  if (trials === 0) return null;
  const beside = similarity ? besideTheLimit(difference, similarity, chance) : besideGuessing(difference, chance);
  const { critical, shows, name, caption } = beside;
  const bars = barsOf(trials, beside, [correct, critical ?? correct]);
  const highest = Math.max(...bars.map(({ likely }) => likely));
  const inReach = critical !== null && critical <= (bars.at(-1)?.count ?? 0);
  const between = (critical ?? 0) + (similarity ? 0.5 : -0.5);
  const svg = twice(name, ({ narrow }) => ({
    height: narrow ? 230 : 250,
    marginLeft: 14,
    marginRight: 14,
    marginTop: 56,
    marginBottom: 46,
    x: {
      label: `Right answers out of ${trials}`,
      labelAnchor: 'center',
      labelArrow: 'none',
      type: 'linear',
      domain: [(bars[0]?.count ?? 0) - 0.7, (bars.at(-1)?.count ?? trials) + 0.7],
      ticks: ticksOf(bars, narrow ? 5 : 9),
      tickFormat: 'd',
    },
    y: { axis: null, domain: [0, highest] },
    marks: [
      Plot.rectY(bars, {
        x1: ({ count }: Bar) => count - 0.42,
        x2: ({ count }: Bar) => count + 0.42,
        y: 'likely',
        fill: 'currentColor',
        className: 'chart-guess',
      }),
      Plot.ruleY([0], { className: 'chart-zero' }),
      ...(inReach ? line(between, shows, bars, 'chart-critical', 24) : []),
      ...line(correct, `${correct} right`, bars, 'chart-came', 44),
      Plot.dot([correct], { x: correct, y: 0, r: 7, fill: 'currentColor', stroke: 'none', className: 'chart-came' }),
    ],
  }));
  return { svg, caption: `${caption} ${about(beside.mean)} on average.` };
}

/** What the counts that came are held against. */
interface Beside {
  /** How likely a count is. */
  likely: (count: number) => number;
  mean: number;
  spread: number;
  critical: number | null;
  shows: string;
  name: string;
  caption: string;
}

const besideGuessing = ({ trials, critical }: Difference, chance: number): Beside => ({
  likely: (count) => binomialPmf(count, trials, chance),
  mean: chance * trials,
  spread: Math.sqrt(trials * chance * (1 - chance)),
  critical,
  shows: `${critical} or more show it`,
  name: 'Right answers, and how likely each count is by guessing alone',
  caption: 'Bars: how likely each count of right answers is if nobody hears a difference; guessing gives',
});

/** By the panel that a test for similarity is held against. */
function besideTheLimit({ trials, listeners }: Difference, similarity: Similarity, chance: number): Beside {
  const { limit, most } = similarity;
  const each = listeners.map((one) => one.trials);
  const groups = answeredAlike(each);
  const upTo = (count: number) => heardBySomeCdf(count, groups, chance, limit);
  const right = chance + (1 - chance) * limit;
  const between = limit * (1 - limit) * (1 - chance) ** 2 * each.reduce((sum, own) => sum + own ** 2, 0);
  const at = chosenPercent(limit);
  return {
    likely: (count) => Math.max(0, upTo(count) - upTo(count - 1)),
    mean: right * trials,
    spread: Math.sqrt((1 - limit) * trials * chance * (1 - chance) + between),
    critical: most,
    shows: `${most} or fewer show it`,
    name: `Right answers, and how likely each count is if it is heard as often as the limit, ${at}`,
    caption:
      similarity.by === 'exact-count'
        ? `Bars: how likely each count of right answers is if it is truly heard in ${at} of trials, which is the limit; that gives`
        : `Bars: how likely each count of right answers is if a listener hears it always or never, and ${at} do, which is the limit; that gives`,
  };
}

type Similarity = NonNullable<Difference['similarity']>;

interface Bar {
  count: number;
  likely: number;
}

/** Counts that guessing is likely to give, and those that matter here; the far ends of a long row are left out. */
function barsOf(trials: number, { likely, mean, spread }: Beside, shown: readonly number[]): Bar[] {
  const from = Math.max(0, Math.min(Math.floor(mean - 4 * spread), ...shown));
  const to = Math.min(trials, Math.max(Math.ceil(mean + 4 * spread), ...shown));
  return Array.from({ length: to - from + 1 }, (_, i) => ({ count: from + i, likely: likely(from + i) }));
}

/** A line with its words, on the side on which there is room. */
function line(at: number, words: string, bars: readonly Bar[], className: string, above: number) {
  const [first, last] = [bars[0]?.count ?? 0, bars.at(-1)?.count ?? 1];
  const left = at > (first + last) / 2;
  return [
    Plot.ruleX([at], { className }),
    Plot.text([words], {
      x: at,
      frameAnchor: 'top',
      dy: -above,
      dx: left ? -6 : 6,
      textAnchor: left ? 'end' : 'start',
      className: `${className}-words`,
    }),
  ];
}

function ticksOf(bars: readonly Bar[], most: number): number[] {
  const [first, last] = [bars[0]?.count ?? 0, bars.at(-1)?.count ?? 1];
  const step = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000].find((each) => (last - first) / each <= most) ?? 5000;
  return Array.from({ length: Math.floor(last / step) + 1 }, (_, i) => i * step).filter((tick) => tick >= first);
}
