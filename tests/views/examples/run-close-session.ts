import type { CloseSessionPage } from '../../../server/run/view-models';
import { deskSay } from '../../../shared/words/desk';
import { base, frame, study, type ViewExamples } from '../staff/frame';

const examples: ViewExamples<CloseSessionPage> = {
  view: 'run/close-session',
  layout: 'staff',
  examples: [
    {
      name: 'normal',
      model: {
        ...frame(deskSay('title.close'), study('run', 'running')),
        base,
        number: 1,
        unfinished: [
          { seat: 2, alias: 'Otter', progress: '4 of 12' },
          { seat: null, alias: 'Plover', progress: deskSay('progress.unseated') },
        ],
      },
    },
    {
      name: 'one',
      model: {
        ...frame(deskSay('title.close'), study('run', 'running')),
        base,
        number: 1,
        unfinished: [{ seat: 2, alias: 'Otter', progress: '11 of 12' }],
      },
    },
  ],
};
export default examples;
