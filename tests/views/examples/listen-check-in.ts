import type { CheckInPage } from '../../../server/listen/view-models';
import { type CheckInQuestion, checkInOptions, type WordKey } from '../../../shared/words/en';
import { say } from '../../../shared/words/say';
import type { ViewExamples } from './examples';

function question(id: CheckInQuestion, chosen: string | null, error: string | null): CheckInPage['questions'][number] {
  return {
    id,
    legend: say(`check-in.${id}`),
    options: checkInOptions[id].map((value) => ({
      value,
      label: say(`check-in.${id}.${value}` as WordKey),
      chosen: value === chosen,
    })),
    error,
  };
}
const page = (questions: CheckInPage['questions'], problems: CheckInPage['problems'] = []): CheckInPage => ({
  title: 'How are you today?',
  csrf: 'csrf-example',
  problems,
  questions,
});
const missing = 'Choose one answer about your health, or that you would rather not say.';

export default {
  view: 'listen/check-in',
  layout: 'phone',
  examples: [
    { name: 'empty', model: page([question('hearing', null, null), question('health', null, null)]) },
    {
      name: 'one-missing',
      model: page(
        [question('hearing', 'usual', null), question('health', null, missing)],
        [{ code: 'missing', message: missing, path: 'health', field: 'health' }],
      ),
    },
  ],
} satisfies ViewExamples;
