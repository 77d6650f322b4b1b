import type { MatchPart, SoundExcerptPart, SoundPage, SoundSlot } from '../../../server/prepare/view-models';
import { waveformOf } from '../../../server/prepare/waveform';
import { base, field, frame, longName, problem, study, type ViewExamples } from '../staff/frame';
import { nav } from '../staff/prepare';

/** Beats that die away, as a waveform shows them. */
function beats(seed: number): { min: number[]; max: number[] } {
  const heights = Array.from({ length: 600 }, (_, i) => {
    const beat = Math.exp(-((i + seed) % 47) / 14);
    return Number((0.15 + 0.75 * beat * (0.7 + 0.3 * Math.sin(i * 1.7 + seed))).toFixed(3));
  });
  return { min: heights.map((height) => -height), max: heights };
}

const names = ['Narrow vent', 'Wide vent', longName];
const slot = (index: number, at: number, more: Partial<SoundSlot> = {}): SoundSlot => ({
  id: `file-${index}-${at}`,
  label: names[at] ?? '',
  action: `${base}/sound/upload`,
  removal: `${base}/sound/remove`,
  excerpt: `E${index}`,
  prototype: `P${at}`,
  error: null,
  made: null,
  file: {
    name:
      at === 2 ? 'walking bass, second take, bounced on Tuesday after the long rehearsal.flac' : `take-${at + 1}.wav`,
    facts: '12.5\u00a0s · 48\u00a0kHz · stereo · WAV',
    loudness: `−${17 + at}.3\u00a0LUFS`,
    peak: '−2.1\u00a0dBTP',
    by: 'Mara Winter',
    at: '2026-03-02, 09:14\u00a0UTC',
  },
  ...more,
});

const excerpt = (
  index: number,
  name: string,
  slots: SoundSlot[],
  more: Partial<SoundExcerptPart> = {},
): SoundExcerptPart => ({
  id: `E${index}`,
  name,
  slots,
  cut: {
    action: `${base}/sound/cut`,
    excerpt: `E${index}`,
    from: { ...field('from', '1.25'), id: `from-${index}` },
    to: { ...field('to', '9.25'), id: `to-${index}` },
    length: '8.0\u00a0s',
    advice: null,
  },
  wave: waveformOf(
    slots.map(({ label }, at) => ({ label, seconds: 12.5, overview: beats(at * 5) })),
    { from: 1.25, to: 9.25 },
  ),
  ...more,
});

const anchors = (made: string, then: string): SoundSlot[] =>
  ['Middle anchor', 'Low anchor'].map((label, at) =>
    slot(0, 2 + at, {
      label,
      file: null,
      made: `${made}: what Narrow vent has below ${[7, 3.5][at]}\u00a0kHz, at its gain. ${then}`,
    }),
  );
const waves = (count: number) =>
  waveformOf(
    names.slice(0, count).map((label, at) => ({ label, seconds: 12.5, overview: beats(at * 5) })),
    { from: 1.25, to: 9.25 },
  );

const three = [slot(0, 0), slot(0, 1), slot(0, 2)];
const match: MatchPart = {
  at: '2026-03-02, 09:20\u00a0UTC',
  unit: 'LUFS',
  warnings: ['Walking bass: Wide vent and Narrow vent have opposite polarity.'],
  excerpts: [
    {
      name: 'Walking bass',
      length: '8.0\u00a0s',
      rows: names.map((label, at) => ({
        label,
        before: `−${17 + at}.3`,
        gain: at === 2 ? '0.00' : `−${2 - at}.00`,
        after: '−19.30',
        peak: '−4.1',
        lag: at === 0 ? 'together' : at === 1 ? '1\u00a0sample later' : 'can’t be told',
      })),
      spread: '0.00\u00a0dB from quietest to loudest: within tolerance.',
      units: [],
    },
  ],
};

const page = (more: Partial<SoundPage> = {}): SoundPage => ({
  ...frame('Sound', study('prepare', 'locked')),
  nav: nav('sound').filter(({ label }) => label !== 'Sheets' && label !== 'Levels'),
  base,
  notNow: null,
  open: true,
  closed: null,
  rules: [
    'Each prototype has a file of its own for each excerpt. They are lowered to the quietest, by programme loudness (ITU-R BS.1770).',
    'Files of one excerpt must begin together, to the sample: export them from one project with the same start.',
    'Every sample must have played for 3\u00a0s before an answer counts.',
    'Export WAV or FLAC; MP3 and Ogg are read, too. All files of an excerpt at one rate, such as 48\u00a0kHz.',
  ],
  excerpts: [excerpt(0, 'Walking bass', three)],
  missing: ['The sound is not matched yet.'],
  match: null,
  matching: { action: `${base}/sound/match`, again: false },
  matchError: null,
  ...more,
});

const none = (at: number): SoundSlot => slot(0, at, { file: null });
const manyChannels = 'This file has 8 channels. Export it as stereo or mono.';
const tooLate = 'The shortest file of this excerpt ends at 12.500 s. Set the out point before that.';
const late =
  'Walking bass: the render of Wide vent begins 100 samples (2.1 ms) later than that of Narrow vent. A jump like that tells them apart at every switch. Export them from one project with the same start.';

const examples: ViewExamples<SoundPage> = {
  view: 'prepare/sound',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    { name: 'matched', model: page({ missing: [], match, matching: { action: `${base}/sound/match`, again: true } }) },
    {
      name: 'empty',
      model: page({
        excerpts: [
          excerpt(0, 'Walking bass', [none(0), none(1)], { cut: null, wave: null }),
          excerpt(1, 'Voice, close', [slot(1, 0, { file: null }), slot(1, 1, { file: null })], {
            cut: null,
            wave: null,
          }),
        ],
        missing: ['Walking bass: no file yet for Narrow vent, Wide vent.'],
        matching: null,
      }),
    },
    {
      name: 'anchors',
      model: page({
        excerpts: [
          excerpt(0, 'Walking bass', [slot(0, 0), slot(0, 1), ...anchors('Made here', 'It changes with that file.')], {
            wave: waves(2),
          }),
          excerpt(
            1,
            'Voice, close',
            [
              slot(1, 0, { file: null }),
              slot(1, 1, { file: null }),
              ...anchors('Will be made here', 'It waits for that file.'),
            ],
            { cut: null, wave: null },
          ),
        ],
        missing: [
          'Voice, close: no file yet for Narrow vent, Wide vent. Made of Narrow vent once that is there: Middle anchor, Low anchor.',
        ],
        matching: null,
      }),
    },
    {
      name: 'wrong',
      model: page({
        problems: [
          { ...problem('file', manyChannels), field: 'file-0-1' },
          { ...problem('to', tooLate), field: 'to-0' },
          { ...problem('match', late), field: 'match' },
        ],
        excerpts: [
          excerpt(0, 'Walking bass', [slot(0, 0), slot(0, 1, { error: manyChannels, file: null })], {
            cut: {
              action: `${base}/sound/cut`,
              excerpt: 'E0',
              from: { ...field('from', '1.25'), id: 'from-0' },
              to: { ...field('to', '90', tooLate), id: 'to-0' },
              length: '8.0\u00a0s',
              advice: 'First impressions are had within 5 to 15 s; this excerpt is longer.',
            },
          }),
        ],
        matchError: late,
      }),
    },
    {
      name: 'units-running',
      model: page({
        ...frame('Sound', study('prepare', 'running')),
        nav: nav('sound'),
        open: false,
        closed: 'Somebody has listened already, so files and cuts stay as they are.',
        excerpts: [excerpt(0, 'Walking bass', [slot(0, 0, { label: 'The programme', prototype: '' })])],
        missing: [],
        match: {
          ...match,
          warnings: [],
          excerpts: [
            {
              name: 'Walking bass',
              length: '8.0\u00a0s',
              rows: [
                {
                  label: 'The programme',
                  before: '−17.3',
                  gain: '0.00',
                  after: '−17.30',
                  peak: '−2.1',
                  lag: 'together',
                },
              ],
              spread: null,
              units: ['NV-001', 'NV-002', 'WV-001'].map((serial, at) => ({
                serial,
                prototype: names[Math.floor(at / 2)] ?? '',
                level: `9${at}.4`,
                gain: `−${at}.00`,
              })),
            },
          ],
        },
        matching: { action: `${base}/sound/match`, again: true },
      }),
    },
    {
      name: 'not-now',
      model: page({
        ...frame('Sound', study('prepare', 'draft')),
        notNow: {
          words: 'The plan is not complete yet. What it plays is known once it is.',
          next: { label: 'Look at the plan', url: `${base}/plan` },
        },
        excerpts: [],
      }),
    },
  ],
};
export default examples;
