import type { ClosePage } from '../../../server/review/view-models';
import { flow } from '../staff/flow';
import { base, frame, problem, study, type ViewExamples } from '../staff/frame';

const page = (more: Partial<ClosePage> = {}): ClosePage => ({
  ...frame('Close the study', study('review', 'running')),
  base,
  notYet: null,
  looks: 'none',
  open: [
    { label: 'listeners have trials left', count: 3, detail: 'They can still come to session 2.' },
    { label: 'session is open', count: 1, detail: 'Close it at the desk first if the panel is still sitting.' },
  ],
  flow,
  ...more,
});

const examples: ViewExamples<ClosePage> = {
  view: 'review/close',
  layout: 'staff',
  examples: [
    {
      name: 'empty',
      model: page({
        ...frame('Close the study', study('review', 'locked')),
        notYet: 'No session has been held yet, so there is nothing to close.',
        looks: null,
        open: [],
        flow: [],
      }),
    },
    { name: 'normal', model: page() },
    { name: 'all-done', model: page({ open: [], looks: 'some' }) },
    {
      name: 'wrong',
      model: page({ problems: [problem('understood', 'Tick the box to say that the panel is done.')] }),
    },
  ],
};
export default examples;
