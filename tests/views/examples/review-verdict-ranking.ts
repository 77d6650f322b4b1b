import type { VerdictPage } from '../../../server/review/view-models';
import { aPlan } from '../../blinding/a-plan';
import type { ViewExamples } from '../staff/frame';
import { verdictPage } from '../staff/letter';

const names = ['Wide vent', 'Closed bore', 'Felt damper', 'Steel mesh', 'Foam ring', 'No damper'];

const examples: ViewExamples<VerdictPage> = {
  view: 'review/verdict',
  layout: 'staff',
  examples: [
    {
      name: 'ranking',
      model: verdictPage(
        {
          ...aPlan({
            method: 'ranking',
            names,
            prototypes: 4,
            units: 2,
            spec: { size: 4, rankings: 2 },
            controls: { hiddenRepeats: 1 },
            audiences: [['home', 12]],
          }),
          question: 'Which damper does the panel prefer?',
        },
        { seed: 4, truth: { worth: { 'proto-a': 1.6, 'proto-b': 0.8, 'proto-d': -1.2 }, gamma: 0.2 }, spoilt: 0.02 },
      ),
    },
    {
      name: 'ranking-in-blocks',
      model: verdictPage(
        {
          ...aPlan({
            method: 'ranking',
            names,
            prototypes: 6,
            units: 2,
            spec: { size: 3, rankings: 2 },
            audiences: [['home', 20]],
          }),
          question: 'Which of six dampers does the panel prefer?',
        },
        { seed: 5, truth: { worth: { 'proto-c': 3, 'proto-f': -2 }, gamma: 0.1 } },
      ),
    },
  ],
};
export default examples;
