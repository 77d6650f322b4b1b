import type { RevealedPage } from '../../../server/prepare/view-models';
import { base, frame, longName, study, type ViewExamples } from '../staff/frame';

const page = (more: Partial<RevealedPage> = {}): RevealedPage => ({
  ...frame('Code 417', study('prepare', 'running')),
  base,
  session: 1,
  code: '417',
  prototype: 'Wide vent',
  serial: 'WV-01',
  note: 'measured 21 November',
  seenBy: 'Mara Winter',
  at: '2026-11-24, 14:32\u00a0UTC',
  consequence: 'You may go on at the desk. You can’t listen in this study.',
  ...more,
});

const examples: ViewExamples<RevealedPage> = {
  view: 'prepare/revealed',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    {
      name: 'day-code',
      model: page({
        prototype: longName,
        note: '',
        consequence:
          'This code stays on its carrier, so you can’t run the desk or listen in this study unless it is single blind.',
      }),
    },
  ],
};
export default examples;
