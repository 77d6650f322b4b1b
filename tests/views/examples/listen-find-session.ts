import type { FindSessionPage } from '../../../server/listen/view-models';
import { csrf } from './branded';
import type { ViewExamples } from './examples';

const empty: FindSessionPage = {
  title: 'Join a session',
  csrf,
  problems: [],
  code: { id: 'code', name: 'code', value: '', error: null },
};
const wrong = 'No open session has this code. Look at the screen at the desk and type it again.';

export default {
  view: 'listen/find-session',
  layout: 'phone',
  examples: [
    { name: 'empty', model: empty },
    {
      name: 'wrong-code',
      model: {
        ...empty,
        problems: [{ code: 'unknown', message: wrong, path: 'code', field: 'code' }],
        code: { id: 'code', name: 'code', value: 'K7Q2', error: wrong },
      } satisfies FindSessionPage,
    },
    {
      name: 'signed-out',
      model: {
        ...empty,
        problems: [
          {
            code: 'link-unknown',
            message: 'This personal link is not known here. Type the code of today’s session instead.',
            path: '',
            field: null,
          },
        ],
      } satisfies FindSessionPage,
    },
  ],
} satisfies ViewExamples;
