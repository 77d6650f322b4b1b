import type { VerdictPage } from '../../../server/review/view-models';
import { aPlan } from '../../blinding/a-plan';
import type { ViewExamples } from '../staff/frame';
import { verdictPage } from '../staff/letter';

const names = ['Wide vent', 'Closed bore', 'Open back'];

const examples: ViewExamples<VerdictPage> = {
  view: 'review/verdict',
  layout: 'staff',
  examples: [
    {
      name: 'same-different-heard',
      model: verdictPage(
        {
          ...aPlan({ method: 'same-different', names, units: 2, trials: 12, audiences: [['home', 6]] }),
          question: 'Can anyone hear the wide vent?',
        },
        { seed: 4, truth: { listenersWhoHear: 1, dPrime: 2.2, gamma: 0.1 } },
      ),
    },
    {
      name: 'a-not-a-undecided',
      model: verdictPage(
        {
          ...aPlan({
            method: 'a-not-a',
            spec: { trials: 8, showOther: true },
            prototypes: 3,
            controls: { knownDifference: { trials: 2, prototype: 'proto-c' } },
            names,
            units: 2,
            audiences: [['home', 5]],
          }),
          question: 'Do they know the wide vent again?',
        },
        { seed: 7, truth: { listenersWhoHear: 0.3, dPrime: 1 } },
      ),
    },
  ],
};
export default examples;
