import type { ComputingPage } from '../../../server/review/view-models';
import { frame, base as home, study, type ViewExamples } from '../staff/frame';

const base = `${home}/review`;

const words = [
  'Reading the record',
  'Checking that every entry is as it was written',
  'Doing the draw again from the published seed',
  'Joining answers with what was heard',
  'Analysing Home',
  'Analysing Stage',
  'What stands beside the verdicts',
  'What was decided, and by whom',
];

const page = (more: Partial<ComputingPage> = {}): ComputingPage => ({
  ...frame('Review', study('review', 'unsealed')),
  base,
  question: 'Which vent do they prefer?',
  part: {
    base,
    playing: true,
    doing: 'Analysing Home',
    done: 4,
    of: words.length,
    parts: words.map((own, i) => ({ words: own, state: i < 4 ? 'done' : i === 4 ? 'now' : 'to come' })),
  },
  ended: null,
  ...more,
});

const examples: ViewExamples<ComputingPage> = {
  view: 'review/computing',
  layout: 'staff',
  examples: [
    { name: 'under-way', model: page() },
    { name: 'stopped', model: page({ part: null, ended: 'stopped' }) },
    { name: 'failed', model: page({ part: null, ended: 'failed' }) },
  ],
};
export default examples;
