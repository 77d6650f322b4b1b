import { protocolOf } from '../../../protocols/index';
import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import { verdictWordsIn } from '../../../shared/words/en';
import { listeners, pWords } from '../figures';
import { markedIn } from '../marked';
import { nameIn } from '../plan-names';
import { row, section, table } from '../rating/section';
import type { RatedSection, RatedTable } from '../view-models';
import { type FigureWords, figureWords, intervalWords } from './words';

type Noted = NonNullable<OverTimeFindings['noted']>[number];

const whatWords: Record<Noted['what'], string> = {
  marked: 'marked at check-in',
  'outside-listening': 'with samples heard elsewhere, by the listener’s own word',
  'at-home': 'of listeners who had a prototype elsewhere, as the team declared',
};

/** Sittings on which something is noted: what they did, and the verdict without them. Null where there are none. */
export function notedSection(found: OverTimeFindings, plan: Plan): RatedSection | null {
  const { noted = [], atHome = [], saidElsewhere = [] } = found;
  if (noted.length + atHome.length + saidElsewhere.length === 0) return null;
  const words = figureWords(found, plan);
  const turned = noted.filter(({ same }) => !same);
  return section({
    id: 'noted-sittings',
    heading: 'Sittings on which something is noted',
    sentences: [
      ...(noted.length > 0
        ? [
            'The plan leaves them in, and the verdict counts them. Here is how listeners answered in them against their own other sittings, and what the verdict would be without them.',
          ]
        : [
            'None of them is among the answers that count: a rule of the plan leaves them out, or nothing was answered.',
          ]),
      ...noted.map((one) => notedWords(one, words)),
    ],
    cautions: turned.map(
      ({ what, without }) =>
        `Without sittings ${whatWords[what]} the verdict would be “${verdictWords(without, plan)}”. The verdict stands as planned.`,
    ),
    tables: [
      ...(turned.length > 0 ? [bothTable(turned, plan)] : []),
      ...(atHome.length > 0 ? [homeTable(atHome, plan)] : []),
      ...(saidElsewhere.length > 0 ? [saidTable(saidElsewhere)] : []),
    ],
    note: 'Explores, and decides nothing. Which listener was marked for what is told to nobody.',
    folded: turned.length === 0,
  });
}

function notedWords({ what, sittings, of, listeners: count, difference, same }: Noted, words: FigureWords): string {
  const { estimate } = difference;
  const apart = estimate
    ? ` In them ${words.figure} was ${words.change(estimate.value)} ${words.unit} against the same listeners’ other sittings${intervalWords(estimate, words.change)}, over ${listeners(difference.listeners)}.`
    : what === 'at-home'
      ? ''
      : ' Too few listeners have sittings of both kinds to compare them.';
  const verdict = same ? ' Without them the verdict is the same.' : ' Without them the verdict is another one.';
  return `${sittings} of ${of} sittings were ${whatWords[what]} (${listeners(count)}).${apart}${verdict}`;
}

const verdictWords = ({ verdict }: Noted['with'], plan: Plan): string =>
  verdictWordsIn(protocolOf(plan.method.id).family, verdict).short;

const bothTable = (turned: readonly Noted[], plan: Plan): RatedTable => ({
  caption: 'The verdict with and without them',
  of: 'Analysis',
  columns: ['Verdict', 'p', 'p, corrected'],
  groups: [
    {
      heading: null,
      rows: [
        ...turned.slice(0, 1).map((one) => cells('As planned: the verdict', one.with, plan)),
        ...turned.map((one) => cells(`Without sittings ${whatWords[one.what]}`, one.without, plan)),
      ],
    },
  ],
});

const cells = (name: string, told: Noted['with'], plan: Plan) =>
  row(name, [
    told.preferred ? `${verdictWords(told, plan)}: ${nameIn(plan)(told.preferred)}` : verdictWords(told, plan),
    pWords(told.p),
    pWords(told.pAdjusted),
  ]);

const homeTable = (atHome: NonNullable<OverTimeFindings['atHome']>, plan: Plan): RatedTable =>
  table(
    'Heard elsewhere, as it was declared',
    'Listener',
    ['Prototype', 'Times', 'Which it was'],
    atHome.map(({ listener, prototype, times, how }) =>
      row(listener, [markedIn(plan)(prototype).prototype, String(times), how === 'open' ? 'known' : 'not known']),
    ),
  );

const saidTable = (said: NonNullable<OverTimeFindings['saidElsewhere']>): RatedTable =>
  table(
    'Samples heard elsewhere, by the listener’s own word at check-in',
    'Listener',
    ['Sittings before which'],
    said.map(({ listener, sittings, of }) => row(listener, [`${sittings} of ${of}`])),
  );
