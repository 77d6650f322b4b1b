import type { VerdictPage } from '../../../server/review/view-models';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import type { ViewExamples } from '../staff/frame';
import { verdictPage } from '../staff/letter';

const plan: Plan = {
  ...aPlan({
    names: ['Wide vent', 'Closed bore', 'Felt damper'],
    prototypes: 3,
    repeats: 3,
    audiences: [
      ['stage', 12],
      ['home', 14],
    ],
  }),
  question: 'Which vent does the panel prefer?',
  pooling: 'if-alike',
};
const worth = { 'proto-a': 1.4, 'proto-b': 0, 'proto-c': 0.9 };
const mishaps = { spoilt: 0.02, leave: 0.005, miss: 0.02, words: 0.05 };

const examples: ViewExamples<VerdictPage> = {
  view: 'review/verdict',
  layout: 'staff',
  examples: [
    { name: 'pooled', model: verdictPage(plan, { seed: 4, truth: { worth, gamma: 0.2 }, ...mishaps }) },
    {
      name: 'pooling-refused',
      model: verdictPage(plan, {
        seed: 4,
        truth: { worth, gamma: 0.2 },
        truthOf: { home: { worth: { 'proto-b': 1.4 } } },
        ...mishaps,
      }),
    },
  ],
};
export default examples;
