import type { QuickFile, QuickPage } from '../../../server/quick/view-models';
import { csrf } from './branded';
import type { ViewExamples } from './examples';

const file = (slot: QuickFile['slot'], more: Partial<QuickFile> = {}): QuickFile => ({
  slot,
  label: slot === 'first' ? 'First file' : 'Second file',
  there: null,
  other: { slot: slot === 'first' ? 'second' : 'first', sha256: '', name: '' },
  error: null,
  ...more,
});

const page: QuickPage = {
  title: 'Quick check',
  csrf,
  staff: { name: 'Ida' },
  study: null,
  notice: null,
  problems: [],
  files: [file('first'), file('second')],
  methods: [
    { value: 'abx', label: 'Can I hear a difference?', hint: 'ABX', chosen: true },
    { value: 'paired-preference', label: 'Which one do I prefer?', hint: 'Paired preference.', chosen: false },
  ],
  methodError: null,
  trials: { value: '10', error: null },
  next: null,
  earsError: null,
  ready: false,
};
const there = (name: string) => ({ sha256: 'a'.repeat(64), name, detail: '24.0 s, stereo, 48000 Hz, WAV' });

const examples: ViewExamples = {
  view: 'quick/quick',
  layout: 'staff',
  examples: [
    { name: 'empty', model: page },
    {
      name: 'ready',
      model: {
        ...page,
        files: [file('first', { there: there('narrow vent.wav') }), file('second', { there: there('wide vent.wav') })],
        ready: true,
      },
    },
    {
      name: 'refused',
      model: {
        ...page,
        files: [
          file('first', { there: there('narrow vent.wav') }),
          file('second', { error: 'This file has 8 channels. Export it as stereo or mono.' }),
        ],
        trials: { value: 'many', error: 'The number of trials must be a whole number from 5 to 30.' },
        earsError: 'Only with ears that are well today. With pain or ringing, listen another day.',
      },
    },
  ],
};
export default examples;
