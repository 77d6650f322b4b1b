import type { LinkedStudies } from '../../../protocols/linked-studies';
import type { Estimate } from '../../../protocols/results';
import { apartWords } from '../../../server/review/products/apart-words';
import { linkedSection } from '../../../server/review/products/linked-section';
import type { HistoryEntry, ProductPage } from '../../../server/review/products/view-models';
import { aPlan } from '../../blinding/a-plan';
import { base, frame, longName, type ViewExamples } from '../staff/frame';

/** What one product was found to be, over its studies. All of it is invented. */

const review = `${base}/review`;
const entry = (title: string, more: Partial<HistoryEntry> = {}): HistoryEntry => ({
  title,
  url: review,
  unsealed: '2026-11-24, 16:10\u00a0UTC',
  question: 'Which one do they prefer?',
  method: 'Paired preference',
  prototypes: 'Closed bore, Wide vent and Felt damper',
  audiences: [
    {
      name: 'Stage',
      verdict: 'A preference is shown',
      sentence:
        'Stage listeners preferred Felt damper over Closed bore, in 71\u00a0% of comparisons (95\u00a0% interval 58 to 82\u00a0%).',
    },
    {
      name: 'Home',
      verdict: 'Undecided',
      sentence: 'Among home listeners it stays open: anything from 41 to 66\u00a0% for Felt damper is still possible.',
    },
  ],
  decided: 'Signed by Mara Winter, 2026-11-25, 09:02\u00a0UTC',
  instead: null,
  ...more,
});
const studies = [
  entry('Vent and damper, second round'),
  entry('Vent and foam', {
    unsealed: '2026-10-02, 12:45\u00a0UTC',
    prototypes: 'Closed bore, Wide vent and Foam',
    audiences: [],
    decided: '',
    instead: 'Its verdicts are being computed. Come back to this page in a while.',
  }),
  entry(longName, {
    unsealed: '2026-08-30, 08:00\u00a0UTC',
    decided: 'Refused by Mara Winter, 2026-08-31, 10:15\u00a0UTC',
  }),
];
const choices = (chosen: number) =>
  studies.map(({ title, unsealed }, i) => ({
    value: `S${i}`,
    label: `${title}, ${unsealed.slice(0, 10)}`,
    chosen: i === chosen,
  }));

const share = (value: number, lower: number, upper: number): Estimate => ({
  name: 'share',
  value,
  lower,
  upper,
  level: 0.95,
});
const linked: LinkedStudies = {
  measure: 'share',
  level: 0.95,
  pairs: [
    {
      first: 'Closed bore',
      second: 'Wide vent',
      earlier: share(0.44, 0.33, 0.56),
      later: share(0.41, 0.29, 0.54),
      change: share(-0.03, -0.2, 0.14),
    },
  ],
  held: [
    { study: 'earlier', name: 'Foam', against: share(0.47, 0.38, 0.57), listeners: 20 },
    { study: 'later', name: 'Felt damper', against: share(0.68, 0.58, 0.77), listeners: 18 },
  ],
  linked: [{ later: 'Felt damper', earlier: 'Foam', difference: share(0.21, 0.07, 0.34) }],
};
const titles = { earlier: 'Vent and foam', later: 'Vent and damper, second round' };
const moved: LinkedStudies = {
  ...linked,
  pairs: linked.pairs.map((pair) => ({ ...pair, later: share(0.78, 0.66, 0.87), change: share(0.34, 0.17, 0.49) })),
};

const page = (more: Partial<ProductPage> = {}): ProductPage => ({
  ...frame('Nave', null),
  name: 'Nave',
  url: '/products/nave',
  studies,
  sealed: [
    { title: 'Tip shapes', state: 'Draft', url: base },
    { title: 'Vent and damper, third round', state: 'Running', url: base },
  ],
  compare: { earlier: choices(1), later: choices(0), result: null },
  ...more,
});
const plan = aPlan({ prototypes: 3 });
const compare = (result: NonNullable<ProductPage['compare']>['result']) =>
  page({ compare: { earlier: choices(1), later: choices(0), result } });

const examples: ViewExamples<ProductPage> = {
  view: 'review/product',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    { name: 'sealed-only', model: page({ studies: [], compare: null }) },
    {
      name: 'changed-by-hand',
      model: page({
        studies: [
          entry('Vent and foam', {
            audiences: [],
            instead: 'The record was changed at entry 214: nothing in it can be trusted.',
          }),
        ],
        sealed: [],
        compare: null,
      }),
    },
    {
      name: 'linked',
      model: compare({
        heading: 'Vent and foam and Vent and damper, second round',
        refused: [],
        identity: 'Common by name and by units that both had: Closed bore (CB-01 and CB-02) and Wide vent (WV-01).',
        sections: [linkedSection('Stage', linked, titles, plan), linkedSection('Home', moved, titles, plan)],
        note: 'Explores, and decides nothing: the verdicts are those of each study.',
      }),
    },
    {
      name: 'refused',
      model: compare({
        heading: 'Vent and foam and Vent and damper, second round',
        refused: apartWords(
          [
            {
              why: 'prototypes',
              common: [],
              namesakes: [{ name: 'Wide vent', first: ['WV-01'], second: ['WV-07', 'WV-08'] }],
            },
            { why: 'audiences' },
          ],
          plan,
          plan,
        ),
        identity: null,
        sections: [],
        note: null,
      }),
    },
  ],
};
export default examples;
