import type { LevelForm, LevelRow, LevelsPage, ReworkForm } from '../../../server/prepare/view-models';
import { base, field, frame, longName, problem, study, type ViewExamples } from '../staff/frame';
import { nav } from '../staff/prepare';

const row = (serial: string, prototype: string, more: Partial<LevelRow> = {}): LevelRow => ({
  serial,
  prototype,
  left: '94.2',
  right: '94.1',
  measuredOn: '2026-03-02',
  response: true,
  above: { words: '0.0\u00a0dB', judged: 'within tolerance', kind: 'passes' },
  balance: { words: '0.1\u00a0dB', judged: 'within tolerance', kind: 'passes' },
  state: null,
  stateWords: '',
  ...more,
});

const units = ['NV-001 · Narrow vent', 'NV-002 · Narrow vent', `WV-001 · ${longName}`].map((label, at) => ({
  value: `U${at}`,
  label,
  chosen: at === 1,
}));
const form = (more: Partial<LevelForm> = {}): LevelForm => ({
  action: `${base}/levels/note`,
  units,
  unit: field('unit', 'U1'),
  left: field('left'),
  right: field('right'),
  measuredOn: field('measuredOn', '2026-03-02'),
  device: field('device', 'Coupler of the bench, sound card with the blue sticker'),
  method: field('method', '0.1 V at 1 kHz, medium silicone tip, mean of three fits'),
  response: field('response'),
  ...more,
});
const rework = (more: Partial<ReworkForm> = {}): ReworkForm => ({
  action: `${base}/levels/rework`,
  units: units.map((unit) => ({ ...unit, chosen: false })),
  reworked: field('reworked'),
  on: field('on', '2026-03-02'),
  note: field('note'),
  open: false,
  ...more,
});

const page = (more: Partial<LevelsPage> = {}): LevelsPage => ({
  ...frame('Levels', study('prepare', 'locked')),
  nav: nav('levels'),
  base,
  notNow: null,
  rules: [
    'Measure every unit at 1\u00a0kHz in both ears, all with one device, one drive and one method. Only differences count.',
    'Units play at their own level, so each is compared to the quietest. Up to 0.2\u00a0dB passes; up to 0.5\u00a0dB is reported; beyond needs a reason that is signed, at locking and at opening.',
    'A measurement holds for 30 days, and ends when the unit is reworked.',
  ],
  rows: [
    row('NV-001', 'Narrow vent'),
    row('NV-002', 'Narrow vent', {
      left: '94.6',
      right: '94.4',
      above: { words: '0.3\u00a0dB', judged: 'reported', kind: 'warns' },
      response: false,
    }),
    row('WV-001', longName, {
      left: '97.2',
      right: '95.4',
      above: { words: '2.2\u00a0dB', judged: 'beyond', kind: 'beyond' },
      balance: { words: '1.8\u00a0dB', judged: 'beyond', kind: 'beyond' },
      measuredOn: '2026-01-04',
      state: 'stale',
      stateWords: 'out of date: measure again',
    }),
    row('WV-002', longName, {
      left: null,
      right: null,
      measuredOn: null,
      above: null,
      balance: null,
      state: 'missing',
      stateWords: 'never measured',
    }),
  ],
  uncovered: ['WV-001 is 2.2 dB louder than the quietest unit.', 'WV-002 was never measured.'],
  form: form(),
  rework: rework(),
  history: [
    {
      serial: 'NV-001',
      left: '94.2',
      right: '94.1',
      measuredOn: '2026-03-02',
      device: 'Coupler of the bench',
      method: '0.1 V at 1 kHz, medium silicone tip, mean of three fits',
      response: true,
      by: 'Mara Winter',
      at: '2026-03-02, 09:14\u00a0UTC',
      counts: true,
    },
  ],
  reworks: [{ serial: 'WV-001', on: '2026-02-11', note: 'New damper in the left ear', by: 'Mara Winter' }],
  deviations: [
    {
      reason: 'The coupler is away until Thursday, and the panel is here today.',
      by: 'Mara Winter',
      at: '2026-03-02, 09:20\u00a0UTC',
      of: ['WV-002: never measured'],
    },
  ],
  ...more,
});

const noNumber = 'The level of the left ear must be: a number of decibels, such as 94.2.';
const shuffled = 'Row 7: 100 Hz comes after 200 Hz. Sort the rows by frequency.';
const examples: ViewExamples<LevelsPage> = {
  view: 'prepare/levels',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    {
      name: 'empty',
      model: page({
        rows: ['NV-001', 'WV-001'].map((serial) =>
          row(serial, 'Narrow vent', {
            left: null,
            right: null,
            measuredOn: null,
            above: null,
            balance: null,
            state: 'missing',
            stateWords: 'never measured',
          }),
        ),
        uncovered: ['NV-001 was never measured.', 'WV-001 was never measured.'],
        form: form({ device: field('device'), method: field('method') }),
        history: [],
        reworks: [],
        deviations: [],
      }),
    },
    {
      name: 'wrong',
      model: page({
        problems: [
          problem('left', noNumber),
          problem('response', shuffled),
          problem('reworked', 'Choose the unit that it is about.'),
        ],
        form: form({
          left: field('left', 'loud', noNumber),
          response: field('response', 'frequency_hz,left_db\n200,1\n100,2', shuffled),
        }),
        rework: rework({ reworked: field('reworked', '', 'Choose the unit that it is about.'), open: true }),
      }),
    },
    {
      name: 'done',
      model: page({
        ...frame('Levels', study('prepare', 'unsealed')),
        uncovered: [],
        form: null,
        rework: null,
      }),
    },
    {
      name: 'not-now',
      model: page({
        notNow: {
          words: 'By its plan this study plays nothing through units.',
          next: { label: 'Look at the plan', url: `${base}/plan` },
        },
      }),
    },
  ],
};
export default examples;
