import type { VerdictPage } from '../../../server/review/view-models';
import { aPlan } from '../../blinding/a-plan';
import type { ViewExamples } from '../staff/frame';
import { verdictPage } from '../staff/letter';

const plan = {
  ...aPlan({
    method: 'abx',
    names: ['Wide vent', 'Closed bore'],
    units: 2,
    sessions: 3,
    risks: { smallest: { kind: 'heard', value: 0.3 } },
    audiences: [
      ['stage', 5],
      ['home', 4],
    ],
  }),
  question: 'Can anyone hear the wide vent?',
};

const examples: ViewExamples<VerdictPage> = {
  view: 'review/verdict',
  layout: 'staff',
  examples: [
    {
      name: 'abx-heard-and-undecided',
      model: verdictPage(plan, {
        seed: 4,
        truthOf: { stage: { listenersWhoHear: 0.8, heard: 0.5 }, home: {} },
        marked: 0.1,
        outside: 0.1,
        spoilt: 0.02,
        postponed: 0.05,
      }),
    },
    {
      name: 'abx-renders',
      model: verdictPage(
        {
          ...aPlan({
            method: 'abx',
            trials: 6,
            playback: 'renders',
            excerpts: 3,
            sound: { alignment: 'declared', wireless: 'allowed' },
            names: ['Wide vent', 'Closed bore'],
            audiences: [
              ['stage', 5],
              ['home', 4],
            ],
          }),
          question: 'Would anyone hear the wide vent?',
        },
        {
          ...{ seed: 2, truth: { listenersWhoHear: 0.9, heard: 0.6 }, above: [0, 0.2], lags: [0, 34] },
          ...{ interrupted: 0.05, wireless: 0.2, resampled: 0.3 },
        },
      ),
    },
    {
      name: 'abx-not-enough',
      model: verdictPage(
        {
          ...aPlan({ method: 'abx', handling: 'day-code', trials: 4, audiences: [['home', 1]] }),
          question: 'Can anyone hear the felt damper?',
        },
        { seed: 1, truth: { listenersWhoHear: 1, heard: 1 } },
      ),
    },
  ],
};
export default examples;
