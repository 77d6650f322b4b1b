import type { Ratings } from '../../../shared/findings';
import type { ScreeningFindings } from '../../../shared/findings-result';
import type { Plan } from '../../../shared/plan';
import { verdictWordsIn } from '../../../shared/words/en';
import { chosenPercent } from '../../number-words';
import type { Chart } from '../chart';
import { listeners, pWords } from '../figures';
import { intervalChart } from '../interval-chart';
import { nameIn } from '../plan-names';
import type { RatedSection } from '../view-models';
import { measureOf } from './measure';
import { ranged, row, section, table } from './section';

type Pair = ScreeningFindings['all'];

/** Whom the rule of the plan left out, by what, and the primary comparison both ways; null where the plan has no rule. */
export function screeningSection({ screening, scales }: Ratings, verdict: string, plan: Plan): RatedSection | null {
  if (!screening) return null;
  const { rule, kept, dropped, all, verdictOfAll } = screening;
  const rules = rulesIn[rule];
  const says = rules.says(plan.prototypes.some(({ anchor }) => anchor?.lowPassHz === 7000));
  const decided = scales.find(({ primary }) => primary)?.pairs[0];
  const counted =
    dropped.length === 0
      ? 'It left out nobody.'
      : `It left out ${dropped.length} of ${listeners(kept + dropped.length)}.`;
  const both = dropped.length > 0 && decided !== undefined;
  const { reference } = plan.method.spec as { reference?: string };
  const leans = rule === 'reference-told' || [plan.primary.first, plan.primary.second].includes(reference ?? '');
  return section({
    id: 'screening',
    heading: 'Who was left out by the rule of the plan',
    sentences: [
      `${says} ${counted} The rule stood in the plan, and looks at nothing else.`,
      ...(both && leans
        ? ['It looks at what is compared here, so that the verdict needs both: who is kept, and everybody.']
        : []),
    ],
    cautions:
      verdictOfAll === verdict
        ? []
        : [
            `With everybody the verdict would be “${verdictWordsIn('rating', verdictOfAll).short}”. The plan decides by the rule; that it turns on it should be said wherever it is quoted.`,
          ],
    charts: both ? [bothChart(decided, all, kept, dropped.length, leans, plan)] : [],
    tables: [
      ...(both ? [bothTable(decided, all, kept, dropped.length, leans, plan)] : []),
      ...(dropped.length === 0
        ? []
        : [
            table(
              'Who was left out',
              'Listener',
              rules.columns,
              dropped.map((one) => row(one.listener, rules.cells(one))),
            ),
          ]),
    ],
    note: [rules.note, dropped.length > 0 ? rules.beside : null].filter(Boolean).join(' ') || null,
  });
}

interface RuleWords {
  says(anchored: boolean): string;
  columns: string[];
  cells(one: ScreeningFindings['dropped'][number]): string[];
  note: string | null;
  /** Of pairs beside the primary one, where somebody was left out. */
  beside: string;
}

const rulesIn: Record<ScreeningFindings['rule'], RuleWords> = {
  'reference-and-anchor': {
    says: (anchored) =>
      `A listener is left out who gives the hidden reference less than 90 in more than 15\u00a0% of the trials${anchored ? ', or the 7 kHz anchor more than 90 in more than 15\u00a0%' : ''} (ITU-R BS.1534-3).`,
    columns: ['Trials that broke the rule', 'Of'],
    cells: ({ misses, of }) => [String(misses), String(of)],
    note: null,
    beside: 'Of other comparisons with the reference p is everybody’s where that is larger.',
  },
  'reference-told': {
    says: () =>
      'A listener is left out whose grades don’t show that the hidden reference is told from the others (ITU-R BS.1116-3: one-sided t test of the difference grades, 5 %).',
    columns: ['Hidden reference graded lower', 'Of', 'p'],
    cells: ({ misses, of, p }) => [String(misses), String(of), pWords(p)],
    note: 'Who can’t tell the reference from anything is left out, so what is left says how much is lost for those who hear it, and makes the loss look larger than it is for everybody.',
    beside: 'Of other comparisons p is everybody’s where that is larger.',
  },
};

/** Where the rule may lean to one of the two, neither decides alone. */
const rowsOf = (decided: Pair, all: Pair, kept: number, out: number, leans: boolean) => [
  {
    words: `With the rule, ${listeners(kept)}${leans ? '' : ': decides'}`,
    pair: decided,
  },
  { words: `With everybody, ${listeners(kept + out)}`, pair: all },
];

function bothChart(decided: Pair, all: Pair, kept: number, out: number, leans: boolean, plan: Plan): Chart {
  const { unit } = measureOf(plan);
  const [first, second] = [plan.primary.first, plan.primary.second].map(nameIn(plan));
  const shown = rowsOf(decided, all, kept, out, leans).flatMap(({ words, pair: { difference } }) =>
    difference
      ? [{ name: words, value: difference.value, lower: difference.lower, upper: difference.upper, place: null }]
      : [],
  );
  return {
    svg: intervalChart(shown, {
      label: `${first} less ${second}, in ${unit}`,
      short: `Difference in ${unit}`,
      mark: { at: 0, words: 'both alike' },
    }),
    caption: `The primary comparison both ways, with ${chosenPercent(1 - plan.risks.alpha)} intervals.`,
  };
}

function bothTable(decided: Pair, all: Pair, kept: number, out: number, leans: boolean, plan: Plan) {
  const { value, unit } = measureOf(plan);
  return table(
    `${[plan.primary.first, plan.primary.second].map(nameIn(plan)).join(' less ')}, both ways`,
    'Analysis',
    [unit.charAt(0).toUpperCase() + unit.slice(1), 'Interval', plan.audiences.length > 1 ? 'p, Holm' : 'p'],
    rowsOf(decided, all, kept, out, leans).map(({ words, pair: { difference, pAdjusted } }, i) =>
      row(
        words,
        [difference ? value(difference.value) : '–', difference ? ranged(difference, value) : '–', pWords(pAdjusted)],
        { primary: i === 0 || leans },
      ),
    ),
  );
}
