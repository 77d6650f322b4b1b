import type { ExposurePage } from '../../../server/plan/exposure-page';
import { base, field, frame, longName, problem, study, type ViewExamples } from '../staff/frame';

const choice = (value: string, label: string, chosen = false) => ({ value, label, chosen });

const form: NonNullable<ExposurePage['form']> = {
  groups: [
    { title: 'On this panel', listeners: [choice('L1', 'Heron'), choice('L2', 'Otter')] },
    { title: 'Known from other studies', listeners: [choice('L3', 'Wren')] },
  ],
  listenerError: null,
  prototypes: [choice('p1', 'Closed bore'), choice('p2', 'Wide vent')],
  prototypeError: null,
  times: field('times'),
  how: [choice('open', 'knowing which it was'), choice('blind', 'without knowing')],
  howError: null,
};

const page = (more: Partial<ExposurePage> = {}): ExposurePage => ({
  ...frame('Outside listening', study('plan', 'running')),
  base,
  form,
  closed: false,
  declared: [
    {
      at: '4 Mar, 10:02',
      by: 'Mara Winter',
      alias: 'Heron',
      prototype: 'Wide vent',
      times: 12,
      how: 'without knowing',
    },
    {
      at: '3 Mar, 18:40',
      by: 'Mara Winter',
      alias: 'Otter',
      prototype: 'Closed bore',
      times: 1,
      how: 'knowing which it was',
    },
  ],
  carried: [],
  carriedNone: null,
  ...more,
});

const listenerError = 'The listener is missing.';
const timesError = 'How often it was heard must be at least 1; 0 came.';
const howError = 'Whether the listener knew which it was is missing.';

const examples: ViewExamples<ExposurePage> = {
  view: 'plan/exposure',
  layout: 'staff',
  examples: [
    { name: 'nobody-yet', model: page({ form: null, declared: [] }) },
    { name: 'empty', model: page({ declared: [] }) },
    { name: 'normal', model: page() },
    {
      name: 'wrong',
      model: page({
        problems: [problem('listener', listenerError), problem('times', timesError), problem('how', howError)],
        form: {
          ...form,
          listenerError,
          prototypes: [choice('p1', 'Closed bore'), choice('p2', 'Wide vent', true)],
          times: field('times', '0', timesError),
          howError,
        },
      }),
    },
    {
      name: 'follow-up',
      model: page({
        carried: [
          { alias: 'Heron', prototype: longName, times: 14 },
          { alias: 'Otter', prototype: 'Wide vent', times: 8 },
        ],
      }),
    },
    {
      name: 'done',
      model: page({
        ...frame('Outside listening', study('plan', 'closed')),
        form: null,
        closed: true,
        carriedNone:
          'Nothing was carried over: the study before was sealed when this plan was locked, or nobody had listened in it.',
      }),
    },
  ],
};
export default examples;
