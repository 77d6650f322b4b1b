import type { ErrorPage } from '../../../server/account/view-models';
import { base, frame, study, type ViewExamples } from '../staff/frame';

const examples: ViewExamples<ErrorPage> = {
  view: 'web/error',
  layout: 'staff',
  examples: [
    {
      name: 'wrong',
      model: {
        ...frame('There is no such page', null, { staff: null }),
        heading: 'There is no such page',
        sentence: 'Nothing stands at this address. It may have been typed wrong, or the study was removed.',
        code: 'not-found',
        next: { label: 'Go to the start', url: '/' },
      },
    },
    {
      name: 'in-a-study',
      model: {
        ...frame('Not now', study('review', 'running')),
        heading: 'Not now',
        sentence: 'A study is unsealed after it is closed. This one is still running: close it first, on Review.',
        code: 'wrong-state',
        next: { label: 'Go to Review', url: `${base}/review` },
      },
    },
  ],
};
export default examples;
