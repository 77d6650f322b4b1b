import { aPlan } from '../../blinding/a-plan';
import { gradedPanel } from '../graded';
import type { Clauses } from './clauses';

const plan = aPlan({ method: 'several-stimuli', prototypes: 3, trials: 2 });
const two = aPlan({ method: 'several-stimuli', scales: ['liking'], audiences: [['home', 6]] });
const study = (...lines: string[]) => ({ plan: two, outcomes: gradedPanel(lines, { scale: 'liking' }) });
const codes = ['417', '502', '638'];
/** Liking and bass of three samples, place by place from 1. */
const sent = (...grades: [place: number, scale: string, value: number][]) => ({
  grades: grades.map(([place, scale, value]) => ({ place, scale, value })),
  ticks: [],
});
const whole: [number, string, number][] = [
  [3, 'bass', 7],
  [1, 'liking', -3],
  [1, 'bass', 1],
  [2, 'bass', 4],
  [2, 'liking', 0],
  [3, 'liking', 3],
];

export const severalStimuli: Clauses = {
  plan,
  answers: [
    {
      codes,
      presented: 'cab',
      sent: sent(...whole),
      scored: [
        { scale: 'liking', place: 0, value: -3, late: false },
        { scale: 'bass', place: 0, value: 1, late: false },
        { scale: 'liking', place: 1, value: 0, late: false },
        { scale: 'bass', place: 1, value: 4, late: false },
        { scale: 'liking', place: 2, value: 3, late: false },
        { scale: 'bass', place: 2, value: 7, late: false },
      ],
    },
  ],
  refused: [
    { codes, sent: { picked: '417' } },
    { codes, sent: sent() },
    { codes, sent: sent(...whole.slice(1)) },
    { codes, sent: sent(...whole, [3, 'bass', 7]) },
    { codes, sent: sent(...whole.slice(1), [1, 'bass', 2]) },
    { codes, sent: sent(...whole.slice(1), [4, 'bass', 2]) },
    { codes, sent: sent(...whole.slice(1), [3, 'bass', 0]) },
    { codes, sent: sent(...whole.slice(1), [3, 'bass', 8]) },
    { codes, sent: sent(...whole.slice(1), [3, 'bass', 6.5]) },
    { codes, sent: sent(...whole.slice(1), [3, 'warmth', 6]) },
    { codes, sent: { ...sent(...whole), ticks: [{ place: 1, attributes: [] }] } },
  ],
  balanced: {
    positions: [0, 1, 2],
    block: 12,
    of: aPlan({ method: 'several-stimuli', prototypes: 3, trials: 2, audiences: [['home', 12]] }),
  },
  guessing: { notApplicable: 'no rating is right or wrong' },
  careless: { notApplicable: 'a rating has no level of chance; who has no tastes rates the middle' },
  verdicts: {
    'difference-shown': study('a3 b1', 'b0 a2', 'a3 b0', 'b-1 a1', 'a2 b-1', 'b2 a3'),
    'similarity-shown': { notApplicable: 'likeness to within a margin is called not separated' },
    preferred: { notApplicable: 'the verdict is about a scale, which need not say what is better' },
    'not-separated': study('a1 b1', 'b2 a2', 'a0 b1', 'b0 a1', 'a2 b2', 'b3 a3'),
    undecided: study('a3 b-1', 'b1 a-2', 'a3 b0', 'b1 a1', 'a-1 b1', 'b2 a3'),
    'not-enough-data': study('a3 b1', 'b-1 a2', 'a1'),
  },
};
