import type { CheckInPage } from '../../../server/listen/view-models';
import { conditions } from '../../../shared/plan';
import { words } from '../../../shared/words/en';
import type { ViewExamples } from './examples';

const error = '“None of these” doesn’t go with the others. Untick it, or them.';
const missing = 'Whether you heard the samples elsewhere is missing.';

const page = (ticked: string[], more: Partial<CheckInPage> = {}): CheckInPage => ({
  title: 'How are you today?',
  csrf: 'csrf-example',
  problems: [],
  conditions: [...conditions, 'none' as const, 'unsaid' as const].map((value) => ({
    value,
    label: words[`check-in.${value}`],
    chosen: ticked.includes(value),
  })),
  conditionsError: null,
  outside: { legend: words['check-in.outside.first'], chosen: null, error: null },
  ...more,
});

export default {
  view: 'listen/check-in',
  layout: 'phone',
  examples: [
    { name: 'empty', model: page([]) },
    {
      name: 'again',
      model: page(['tiredness', 'loud-sound'], {
        outside: { legend: words['check-in.outside.again'], chosen: 'yes', error: null },
      }),
    },
    {
      name: 'contradiction',
      model: page(['congestion', 'none'], {
        problems: [
          { code: 'not-valid', message: error, path: 'conditions', field: 'conditions' },
          { code: 'missing', message: missing, path: 'outside', field: 'outside' },
        ],
        conditionsError: error,
        outside: { legend: words['check-in.outside.first'], chosen: null, error: missing },
      }),
    },
  ],
} satisfies ViewExamples;
