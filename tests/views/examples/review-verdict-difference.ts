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
      name: 'triangle-controls',
      model: verdictPage(
        {
          ...aPlan({
            method: 'triangle',
            names,
            prototypes: 3,
            units: 2,
            trials: 6,
            controls: { knownDifference: { trials: 2, prototype: 'proto-c' }, units: 2 },
            risks: { smallest: { kind: 'heard', value: 0.4 } },
            audiences: [['home', 8]],
          }),
          question: 'Can anyone hear the wide vent?',
        },
        { seed: 4, truth: { listenersWhoHear: 0.8, heard: 0.5 }, spoilt: 0.02 },
      ),
    },
    {
      name: 'tetrad-undecided',
      model: verdictPage(
        {
          ...aPlan({ method: 'tetrad', names, units: 2, trials: 4, sessions: 2, audiences: [['home', 6]] }),
          question: 'Can anyone hear the felt damper?',
        },
        { seed: 5, truth: { listenersWhoHear: 0.2, heard: 0.3 } },
      ),
    },
    {
      name: 'similar-once-each',
      model: verdictPage(
        {
          ...aPlan({
            method: 'triangle',
            aim: 'similarity',
            names,
            units: 2,
            trials: 1,
            risks: { beta: 0.05, smallest: { kind: 'heard', value: 0.3 } },
            audiences: [['home', 72]],
          }),
          question: 'May the cheaper damper replace the felt one?',
        },
        { seed: 3, truth: {} },
      ),
    },
    {
      name: 'similar-undecided',
      model: verdictPage(
        {
          ...aPlan({
            method: 'triangle',
            aim: 'similarity',
            names,
            units: 2,
            trials: 4,
            risks: { beta: 0.05, smallest: { kind: 'heard', value: 0.3 } },
            audiences: [['home', 18]],
          }),
          question: 'May the cheaper damper replace the felt one?',
        },
        { seed: 3, truth: { listenersWhoHear: 0.3, heard: 0.8 } },
      ),
    },
  ],
};
export default examples;
