import type { SheetCarrier, SheetPage } from '../../../server/prepare/view-models';
import { frame, longName, study, type ViewExamples } from '../staff/frame';

const samples = [
  ['Closed bore', 'CB-01'],
  ['Wide vent', 'WV-01'],
  ['Felt damper', 'FD-03'],
] as const;
const codes = [
  '417',
  '502',
  '638',
  '275',
  '946',
  '381',
  '724',
  '859',
  '163',
  '592',
  '270',
  '835',
  '648',
  '319',
  '907',
  '481',
];

const carriers = (turn: number): SheetCarrier[] =>
  [0, 1].map((i) => {
    const [prototype, serial] = samples[(turn + i) % 3] ?? samples[0];
    return { position: i + 1, code: codes[(turn * 2 + i) % codes.length] ?? '417', prototype, serial };
  });
const listener = (audience: string, ordinal: number, turns: number) => ({
  audience,
  ordinal,
  turns: Array.from({ length: turns }, (_, i) => ({
    label: i === 0 ? 'Practice' : `Turn ${i}`,
    carriers: carriers(i + ordinal),
  })),
});

const page = (more: Partial<SheetPage> = {}): SheetPage => ({
  ...frame('Sheet for session 1', study('prepare', 'running')),
  session: 1,
  printedAt: '24 November 2026, 10:20',
  openedBy: 'Jonas Feld',
  handlingWords: 'Two-person: load each listener’s carriers turn by turn, out of sight of the desk and the panel.',
  solo: false,
  day: null,
  listeners: [listener('Stage', 1, 7), listener('Stage', 2, 7), listener('Home', 1, 7)],
  byCode: [...codes].sort().map((code, i) => {
    const [prototype, serial] = samples[i % 3] ?? samples[0];
    return { code, prototype, serial };
  }),
  again: [],
  checklist: [
    'No mark, serial or fingerprint can be seen or felt on the unit',
    'Same cable, same tip, same temperature',
    'Seal and channel match checked today',
  ],
  ...more,
});

const examples: ViewExamples<SheetPage> = {
  view: 'prepare/sheet',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    {
      name: 'day-code',
      model: page({
        handlingWords: 'Day code: load each carrier once, then keep away from desk and panel.',
        listeners: null,
        byCode: [],
        day: [
          { code: '417', prototype: 'Closed bore', serial: 'CB-01', note: 'measured 21 November' },
          { code: '502', prototype: 'Closed bore', serial: 'CB-02', note: '' },
          { code: '638', prototype: 'Wide vent', serial: 'WV-01', note: '' },
          {
            code: '275',
            prototype: longName,
            serial: 'FD-03-second-pressing',
            note: 'left channel 0.2 dB up, within tolerance',
          },
        ],
      }),
    },
    {
      name: 'crowded',
      model: page({
        again: [
          { audience: 'Stage', ordinal: 2, label: 'Turn 4', carriers: carriers(5) },
          { audience: 'Home', ordinal: 1, label: 'Turn 1', carriers: carriers(2) },
        ],
        listeners: [...Array.from({ length: 4 }, (_, i) => listener('Stage', i + 1, 13)), listener(longName, 1, 13)],
      }),
    },
  ],
};
export default examples;
