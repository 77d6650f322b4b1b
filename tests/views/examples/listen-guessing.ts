import { guessedAgain } from '../../../server/listen/closing-question';
import type { GuessingPart, ListenPage } from '../../../server/listen/view-models';
import { sureness } from '../../../shared/guesses';
import { words } from '../../../shared/words/en';
import { code, csrf, listener } from './branded';
import type { ViewExamples } from './examples';

const part = (labels: string[]): GuessingPart => ({
  kind: 'guessing',
  csrf,
  code: code('417'),
  choices: [
    ...labels.map((label, value) => ({ value: String(value), label, chosen: false })),
    { value: 'none', label: words['guessing.none'], chosen: false },
  ],
  choiceError: null,
  sureness: sureness.map((value) => ({ value, label: words[`guessing.sure.${value}`], chosen: false })),
  sureError: null,
});

const page = (shown: GuessingPart, problems: ListenPage['problems'] = []): ListenPage => ({
  title: 'Listening',
  csrf,
  problems,
  version: 12,
  listener: listener(1),
  part: shown,
});

const two = part(['The new one', 'The one we sell now']);
const eight = part([
  'A new damper',
  'A new shell',
  'Both of them',
  'Last year’s',
  'Neither of them',
  'The first of all',
  'The oldest that we sell',
  'The one that we have sold for ten years',
]);
const missing = { code: 'not-valid', message: 'Say how sure you are.', path: 'sure' };

export default {
  view: 'listen/listen',
  layout: 'phone',
  examples: [
    { name: 'guessing', model: page(two) },
    { name: 'guessing-eight', model: page(eight) },
    {
      name: 'guessing-wrong',
      model: page(guessedAgain(two, { choice: '0', sure: undefined, problems: [missing] }), [
        { ...missing, field: 'sure' },
      ]),
    },
    {
      name: 'guessing-no-idea',
      model: page(guessedAgain(two, { choice: 'none', sure: undefined, problems: [] })),
    },
  ],
} satisfies ViewExamples;
