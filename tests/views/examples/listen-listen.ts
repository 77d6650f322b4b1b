import type { ListenPage, PlacePart, TrialPart } from '../../../server/listen/view-models';
import type { ViewExamples } from './examples';

const trial: TrialPart = {
  trial: '01JD3Z8W5N2Q4R6T8V0X2Y4Z6A',
  presentation: 1,
  version: 1,
  practice: false,
  progress: '4 of 12',
  csrf: 'csrf-example',
};
const practice: TrialPart = { ...trial, practice: true, progress: 'Practice' };
const tips = 'Use your own ear tips, the same size for every sample.';
const question = 'Which of the two do you prefer?';
const two = [
  { value: '502', label: '502', isCode: true },
  { value: '417', label: '417', isCode: true },
];
const none = { value: 'none', label: 'No preference', isCode: false };

const parts: Record<string, PlacePart> = {
  unseated: { kind: 'unseated', alias: 'Juniper' },
  'unseated-long': { kind: 'unseated', alias: 'The one who always sits in the far corner' },
  'waiting-first': { kind: 'waiting', seat: 3, progress: 'Practice', practice: true, code: '417', first: true },
  'waiting-next': { kind: 'waiting', seat: 12, progress: '4 of 12', practice: false, code: '502', first: false },
  fitting: { ...trial, kind: 'fitting', code: '417', retries: 0, tips },
  'fitting-practice-again': {
    ...practice,
    kind: 'fitting',
    code: '417',
    retries: 3,
    tips: 'The tips are shared and cleaned before each hand-over. Keep the size that you took first for every sample, also when another would seal more easily.',
  },
  listening: {
    ...trial,
    kind: 'listening',
    code: '417',
    last: false,
    programme: 'Start the player on the bench, from the start of the piece.',
  },
  'listening-last': {
    ...practice,
    presentation: 2,
    kind: 'listening',
    code: '502',
    last: true,
    programme: 'Play the same piece on the device at your seat, from the start, with the equaliser off.',
  },
  'asking-two': { ...trial, presentation: 2, kind: 'asking', question, answers: two },
  'asking-three': { ...trial, presentation: 2, kind: 'asking', question, answers: [...two, none] },
  'asking-long': {
    ...practice,
    presentation: 2,
    kind: 'asking',
    question:
      'Which of the two would you rather wear for a whole evening on stage, thinking of how clearly you hear your own voice and how tired your ears would be in the end, when the band plays loud?',
    answers: [none, ...two],
  },
  words: {
    ...trial,
    presentation: 2,
    kind: 'words',
    limit: 300,
    samples: [
      { code: '502', field: 'words_502' },
      { code: '417', field: 'words_417' },
    ],
  },
  paused: { kind: 'paused' },
  finished: { kind: 'finished', link: null },
  'finished-link': { kind: 'finished', link: 'http://192.168.4.20:8080/l/q3v9k2m7x4t8b6n1z5r0d2f7h9' },
  out: { kind: 'out' },
  closed: { kind: 'closed' },
};

const page = (part: PlacePart, problems: ListenPage['problems'] = []): ListenPage => ({
  title: 'Listening',
  csrf: 'csrf-example',
  problems,
  version: 12,
  part,
});

export default {
  view: 'listen/listen',
  layout: 'phone',
  examples: [
    ...Object.entries(parts).map(([name, part]) => ({ name, model: page(part) })),
    {
      name: 'asking-wrong',
      model: page({ ...trial, presentation: 2, kind: 'asking', question, answers: [...two, none] }, [
        { code: 'missing', message: 'Choose one answer, then confirm.', path: 'answer', field: 'answer' },
      ]),
    },
    {
      name: 'waiting-refused',
      model: page({ kind: 'waiting', seat: 3, progress: '4 of 12', practice: false, code: '868', first: false }, [
        {
          code: 'wrong-place',
          message: 'That answer belongs to a trial that was taken back. It is put again; nothing else changed.',
          path: '',
          field: null,
        },
      ]),
    },
  ],
} satisfies ViewExamples;
