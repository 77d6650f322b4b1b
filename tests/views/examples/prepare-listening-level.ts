import type { EstimatePart, ListeningForm, ListeningPage } from '../../../server/prepare/view-models';
import { base, field, frame, problem, study, type ViewExamples } from '../staff/frame';
import { nav } from '../staff/prepare';

const form = (more: Partial<ListeningForm> = {}): ListeningForm => ({
  action: `${base}/listening-level`,
  methods: [
    { value: 'sensitivity', label: 'By what the makers state', chosen: true },
    { value: 'coupler', label: 'By a reading in a coupler', chosen: false },
  ],
  per: [
    { value: 'volt', label: 'at 1 V', chosen: false },
    { value: 'milliwatt', label: 'at 1 mW', chosen: true },
  ],
  programmeKnown: true,
  matched: true,
  sensitive: false,
  sensitivity: field('sensitivity', '112'),
  impedance: field('impedance', '16'),
  volts: field('volts', '0.5'),
  volume: field('volume', '−20'),
  programme: field('programme'),
  reading: field('reading'),
  signal: field('signal'),
  diffuseField: field('diffuseField'),
  diffuseSource: field('diffuseSource'),
  ...more,
});

const estimate = (more: Partial<EstimatePart> = {}): EstimatePart => ({
  at: '2026-03-02, 09:14\u00a0UTC',
  level: '79\u00a0dBA',
  range: '73 to 85\u00a0dBA',
  corrected: false,
  parts: [
    { what: 'Sensitivity at 1 V', db: '130.0', within: '±3', basis: 'from memory' },
    { what: 'Voltage of the device', db: '−6.0', within: '±1.5', basis: 'from memory' },
    { what: 'Volume', db: '−20.0', within: '±1', basis: 'from memory' },
    { what: 'Programme', db: '−25.0', within: '±0.2', basis: 'from memory' },
    { what: 'Fit in the ear', db: '0', within: '±3', basis: 'from memory' },
  ],
  rows: [
    { label: 'A week, 4 sittings of 24 min', share: '3.2\u00a0%', allowed: '50\u00a0h', by: 'WHO and ITU-T H.870' },
    { label: 'A day, 1 sitting', share: '1.3\u00a0%', allowed: '32\u00a0h', by: 'NIOSH 98-126' },
  ],
  judged: 'fine',
  judgedWords: 'Within what is allowed.',
  ...more,
});

const page = (more: Partial<ListeningPage> = {}): ListeningPage => ({
  ...frame('Listening level', study('prepare', 'locked')),
  nav: nav('listening-level'),
  base,
  notNow: null,
  estimate: estimate(),
  outdated: false,
  form: form(),
  ...more,
});

const positive = 'The volume must be at most 0; 20 came.';
const noSource = 'Say where the correction is from, such as a table or a paper.';
const examples: ViewExamples<ListeningPage> = {
  view: 'prepare/listening-level',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    {
      name: 'empty',
      model: page({ estimate: null, form: form({ matched: false, sensitivity: field('sensitivity') }) }),
    },
    {
      name: 'held',
      model: page({
        outdated: true,
        estimate: estimate({
          level: '91\u00a0dBA',
          range: '85 to 97\u00a0dBA',
          corrected: true,
          rows: [
            {
              label: 'A week, 4 sittings of 24 min',
              share: '50\u00a0%',
              allowed: '3\u00a0h',
              by: 'WHO and ITU-T H.870',
            },
            { label: 'A day, 1 sitting', share: '20\u00a0%', allowed: '2\u00a0h', by: 'NIOSH 98-126' },
          ],
          judged: 'hold',
          judgedWords:
            'Held: above 85\u00a0dBA, or all that is allowed. Locking and opening want a reason that is signed.',
        }),
      }),
    },
    {
      name: 'unknown',
      model: page({
        estimate: estimate({
          level: null,
          range: null,
          corrected: true,
          parts: [],
          rows: [
            { label: 'A week, 1 sitting of 24 min', share: 'unknown', allowed: null, by: 'WHO and ITU-T H.870' },
            { label: 'A day, 1 sitting', share: 'unknown', allowed: null, by: 'NIOSH 98-126' },
          ],
          judged: 'unknown',
          judgedWords: 'Unknown, which is not the same as little. Something below is missing.',
        }),
        form: form({ programmeKnown: false, volts: field('volts') }),
      }),
    },
    {
      name: 'wrong',
      model: page({
        problems: [problem('volume', positive), problem('diffuseSource', noSource)],
        form: form({
          volume: field('volume', '20', positive),
          diffuseField: field('diffuseField', '5'),
          diffuseSource: field('diffuseSource', '', noSource),
        }),
      }),
    },
    {
      name: 'not-now',
      model: page({
        notNow: {
          words: 'By its plan this study plays nothing.',
          next: { label: 'Look at the plan', url: `${base}/plan` },
        },
      }),
    },
  ],
};
export default examples;
