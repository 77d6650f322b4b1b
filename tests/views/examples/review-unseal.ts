import type { UnsealPage } from '../../../server/review/view-models';
import { flow } from '../staff/flow';
import { base, field, frame, problem, study, type ViewExamples } from '../staff/frame';

const page = (more: Partial<UnsealPage> = {}): UnsealPage => ({
  ...frame('Closed and sealed', study('review', 'closed')),
  base,
  closedAt: '25 November 2026, 17:40',
  closedBy: 'Mara Winter',
  looked: null,
  flow,
  opened: false,
  passphrase: field('passphrase'),
  ...more,
});
const wrong = 'This is not the passphrase of the study. Capitals and spaces count.';

const examples: ViewExamples<UnsealPage> = {
  view: 'review/unseal',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    { name: 'looked', model: page({ looked: 'Mara Winter looked at how the answers stood, 3 times' }) },
    {
      name: 'wrong',
      model: page({ problems: [problem('passphrase', wrong)], passphrase: field('passphrase', '', wrong) }),
    },
  ],
};
export default examples;
