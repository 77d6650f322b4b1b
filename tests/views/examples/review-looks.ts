import { evidenceChart } from '../../../server/review/looks/evidence-chart';
import type { LookShown, LooksPage } from '../../../server/review/looks/view-model';
import { base, frame, study, type ViewExamples } from '../staff/frame';

const shown = (more: Partial<LookShown> = {}): LookShown => ({
  name: 'Listeners',
  state: 'Go on',
  stops: false,
  counted: '31 answers',
  sentence:
    'The answers so far are 4.3 times as likely if the difference is truly heard in 40\u00a0% of trials as by guessing alone.',
  bounds:
    'At 20 times as likely the difference is shown; at 4.8 times as likely by guessing alone the test ends without it.',
  chart: evidenceChart({ evidence: 1.46, upper: 2.9957, lower: -1.5581 }),
  ...more,
});

const bounds =
  'At 40 times as likely the difference is shown; at 4.9 times as likely by guessing alone the test ends without it.';

const page = (more: Partial<LooksPage> = {}): LooksPage => ({
  ...frame('Looks', study('review', 'running')),
  base,
  fixed: null,
  rules: [
    { label: 'Looks', value: 'Sequential (Wald), the upper bound kept strictly' },
    { label: 'False alarms, however often one looks', value: 'at most 5\u00a0%' },
    { label: 'What counts', value: 'Every answer, in the order in which they came' },
  ],
  may: true,
  last: { at: '25 Nov, 17:40', newer: 12, audiences: [shown()], over: false },
  taken: [
    { who: 'Mara Winter', at: '24 Nov, 18:02' },
    { who: 'Mara Winter', at: '25 Nov, 17:40' },
  ],
  ...more,
});

const examples: ViewExamples<LooksPage> = {
  view: 'review/looks',
  layout: 'staff',
  examples: [
    {
      name: 'fixed',
      model: page({
        fixed: { allowed: 'ABX, Triangle, Duo-trio and Tetrad' },
        rules: [],
        last: null,
        taken: [],
      }),
    },
    { name: 'nobody-yet', model: page({ last: null, taken: [] }) },
    { name: 'goes-on', model: page() },
    { name: 'not-yours', model: page({ may: false, last: null }) },
    {
      name: 'over',
      model: page({
        last: {
          at: '25 Nov, 17:40',
          newer: 0,
          over: true,
          audiences: [
            shown({
              name: 'Stage',
              state: 'Stop: the upper bound is met',
              stops: true,
              counted: '44 answers',
              bounds,
              sentence:
                'The answers so far are 41 times as likely if the difference is truly heard in 40\u00a0% of trials as by guessing alone.',
              chart: evidenceChart({ evidence: 3.71, upper: 3.6889, lower: -1.5835 }),
            }),
            shown({
              name: 'Home',
              state: 'Stop: the lower bound is met',
              stops: true,
              counted: '29 answers',
              bounds,
              sentence:
                'The answers so far are 5 times as likely by guessing alone as if the difference is truly heard in 40\u00a0% of trials.',
              chart: evidenceChart({ evidence: -1.61, upper: 3.6889, lower: -1.5835 }),
            }),
          ],
        },
      }),
    },
  ],
};
export default examples;
