import type { CheckInPart, ListenPage } from '../../../server/listen/view-models';
import { conditions } from '../../../shared/plan';
import { words } from '../../../shared/words/en';
import { csrf, listener } from './branded';
import type { ViewExamples } from './examples';

const error = '“None of these” doesn’t go with the others. Untick it, or them.';
const missing = 'Whether you heard the samples elsewhere is missing.';

const part = (ticked: string[], more: Partial<CheckInPart> = {}): CheckInPart => ({
  kind: 'check-in',
  csrf,
  conditions: [...conditions, 'none' as const, 'unsaid' as const].map((value) => ({
    value,
    label: words[`check-in.${value}`],
    chosen: ticked.includes(value),
  })),
  conditionsError: null,
  outside: { legend: words['check-in.outside.first'], chosen: null, error: null },
  ...more,
});

const page = (shown: CheckInPart, problems: ListenPage['problems'] = []): ListenPage => ({
  title: 'How are you today?',
  csrf,
  problems,
  version: 12,
  listener: listener(1),
  part: shown,
});

export default {
  view: 'listen/listen',
  layout: 'phone',
  examples: [
    { name: 'check-in', model: page(part([])) },
    {
      name: 'check-in-again',
      model: page(
        part(['tiredness', 'loud-sound'], {
          outside: { legend: words['check-in.outside.again'], chosen: 'yes', error: null },
        }),
      ),
    },
    {
      name: 'check-in-contradiction',
      model: page(
        part(['congestion', 'none'], {
          conditionsError: error,
          outside: { legend: words['check-in.outside.first'], chosen: null, error: missing },
        }),
        [
          { code: 'not-valid', message: error, path: 'conditions', field: 'conditions' },
          { code: 'missing', message: missing, path: 'outside', field: 'outside' },
        ],
      ),
    },
  ],
} satisfies ViewExamples;
