import type { LinkedStudies } from '../../../protocols/linked-studies';
import { noGain } from '../../../protocols/pair-gains';
import type { Estimate } from '../../../protocols/results';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals, percent } from '../../number-words';
import { intervalChart } from '../interval-chart';
import { measureOf } from '../rating/measure';
import { ranged, row, section, table } from '../rating/section';
import type { RatedSection } from '../view-models';

interface Titles {
  earlier: string;
  later: string;
}

/** Two studies of one audience on one axis. As a section like those of a letter; it explores, and has no verdict word. */
export function linkedSection(audience: string, found: LinkedStudies, titles: Titles, plan: Plan): RatedSection {
  const { pairs, held, linked, level } = found;
  const words = measureWords(found, plan);
  const charted = held.filter(({ against }) => against !== null);
  const one = pairs.length === 1;
  return section({
    id: `linked-${audience}`,
    heading: audience,
    sentences: [
      ...pairs.map((pair) => pairWords(pair, words)),
      ...linked.map((one) => linkWords(one, titles, words)),
      ...(held.length === 0 && found.measure !== 'none'
        ? ['All that they compared is common, so nothing is left to be put beside it.']
        : []),
    ],
    charts:
      charted.length > 0
        ? [
            {
              svg: intervalChart(
                charted.map(({ name, study, against }) => ({
                  name: `${name}, ${titles[study]}`,
                  value: (against as Estimate).value,
                  lower: (against as Estimate).lower,
                  upper: (against as Estimate).upper,
                  place: null,
                })),
                {
                  label: `${words.axis}, against the common ones`,
                  short: 'against the common ones',
                  mark: { at: noGain(found.measure), words: 'as the common ones' },
                  ...(words.share ? { domain: [0, 1], percent: true } : {}),
                },
              ),
              caption: `What one study alone had, held against the common prototypes of that study, with ${chosenPercent(level)} intervals over listeners.`,
            },
          ]
        : [],
    tables: [
      table(
        one ? 'The common pair in both' : 'The common pairs in both',
        'Pair',
        [`${words.column}, ${titles.earlier}`, 'interval', titles.later, 'interval', `change${words.unit}`, 'interval'],
        pairs.map(({ first, second, ...of }) =>
          row(`${first} against ${second}`, [
            ...cells(of.earlier, words.value),
            ...cells(of.later, words.value),
            ...cells(of.change, words.change),
          ]),
        ),
      ),
      ...(held.length > 0
        ? [
            table(
              'Against the common ones',
              'Prototype',
              [words.own, 'interval', 'listeners'],
              held.map(({ name, study, against, listeners }) =>
                row(`${name}, ${titles[study]}`, [...cells(against, words.value), String(listeners)]),
              ),
            ),
          ]
        : []),
      ...(linked.length > 0
        ? [
            table(
              'Linked through the common ones',
              'Later against earlier',
              [`difference${words.unit}`, 'interval'],
              linked.map(({ later, earlier, difference }) =>
                row(`${later} against ${earlier}`, cells(difference, words.change)),
              ),
            ),
          ]
        : []),
    ],
  });
}

const cells = (estimate: Estimate | null, words: (value: number) => string): string[] =>
  estimate === null ? ['–', '–'] : [words(estimate.value), ranged(estimate, words)];

/** What the common pair says of itself, and whether anything speaks against the link. */
function pairWords(
  { first, second, earlier, later, change }: LinkedStudies['pairs'][number],
  words: MeasureWords,
): string {
  if (!earlier || !later || !change) {
    return `${first} against ${second}, which both have: too few answered to tell whether they were judged alike both times.`;
  }
  const alike = change.lower <= 0 && change.upper >= 0;
  return `${first} against ${second}, which both have: ${words.value(earlier.value)} then and ${words.value(later.value)} later, a change of ${words.changed(change.value)} (${chosenPercent(change.level)} interval ${ranged(change, words.change)}). ${
    alike
      ? 'Nothing speaks against their having been judged alike; the interval says how much they may have moved all the same.'
      : 'They were not judged alike both times, so that what is linked through them may be the panel’s change and not the prototypes’.'
  }`;
}

/** Held against the common ones, how far one study's own lies from the other's. */
function linkWords(
  { later, earlier, difference }: LinkedStudies['linked'][number],
  titles: Titles,
  words: MeasureWords,
): string {
  const [one, other] = [`${later} (${titles.later})`, `${earlier} (${titles.earlier})`];
  if (difference === null) return `${one} and ${other}: too few answered to put them beside each other.`;
  const { value, level } = difference;
  const by = words.apart(value);
  const place = /^0(\.0+)?\u00a0/.test(by) ? 'level with' : `${by} ${value < 0 ? 'below' : 'above'}`;
  return `${one} lies ${place} ${other} when both are held against the common ones (${chosenPercent(level)} interval of the difference ${ranged(difference, words.change)}).`;
}

interface MeasureWords {
  share: boolean;
  axis: string;
  column: string;
  /** The same of one prototype against several. */
  own: string;
  value: (value: number) => string;
  /** A change alone, as tables have it, and what it is counted in there. */
  change: (value: number) => string;
  unit: string;
  /** A change in a sentence. */
  changed: (value: number) => string;
  /** A size of a difference. */
  apart: (value: number) => string;
}

const signedPoints = (share: number): string => `${share > 0 ? '+' : ''}${decimals(share * 100, 0)}`;
const pointsUnit = 'percentage points';

function measureWords({ measure }: LinkedStudies, plan: Plan): MeasureWords {
  const shares = (axis: string, column: string, single = column): MeasureWords => ({
    share: true,
    axis,
    column,
    own: single,
    value: percent,
    change: signedPoints,
    unit: `, ${pointsUnit}`,
    changed: (change) => `${signedPoints(change)}\u00a0${pointsUnit}`,
    apart: (change) => `${decimals(Math.abs(change) * 100, 0)}\u00a0${pointsUnit}`,
  });
  if (measure === 'share') return shares('Share of choices', 'share of choices for the first', 'share of choices');
  if (measure === 'ranked')
    return shares('Share of rankings ahead', 'share of rankings with the first ahead', 'share of rankings ahead');
  if (measure === 'none') return shares('Told apart', 'told apart');
  const own = measureOf(plan);
  const signed = (value: number): string => `${value > 0 ? '+' : ''}${own.value(value)}`;
  return {
    share: false,
    axis: measure === 'ticked' ? `“${own.scale.name}” ticked more` : `Higher on “${own.scale.name}”`,
    column: own.unit,
    own: own.unit,
    value: signed,
    change: signed,
    unit: '',
    changed: (value) => `${value > 0 ? '+' : value < 0 ? '\u2212' : ''}${own.amount(Math.abs(value))}`,
    apart: (value) => own.amount(Math.abs(value)),
  };
}
