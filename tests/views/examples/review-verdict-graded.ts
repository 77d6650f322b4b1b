import type { VerdictPage } from '../../../server/review/view-models';
import { gradedPlan } from '../../review/graded-plan';
import { longName, type ViewExamples } from '../staff/frame';
import { verdictPage } from '../staff/letter';

const audiences: [string, number][] = [['home', 12]];
const names = ['Alder', 'Birch', longName];

const examples: ViewExamples<VerdictPage> = {
  view: 'review/verdict',
  layout: 'staff',
  examples: [
    {
      name: 'several-stimuli',
      model: verdictPage(
        {
          ...gradedPlan('several-stimuli', { names, rounds: 2, audiences, units: [2, 2, 1] }),
          question: 'Which of the three is liked best, side by side?',
        },
        {
          seed: 3,
          truth: { residualSd: 0.8, ratings: { liking: { 'proto-a': 1.4, 'proto-b': -0.4 }, bass: { 'proto-a': 1 } } },
        },
      ),
    },
  ],
};
export default examples;
