import { aPlan } from '../../blinding/a-plan';
import { gradedPanel } from '../graded';
import type { Clauses } from './clauses';

const plan = aPlan({ method: 'small-impairments', prototypes: 3, rounds: 2 });
const pair = aPlan({ method: 'small-impairments', prototypes: 2, rounds: 2, audiences: [['home', 6]] });
const study = (...lines: string[]) => ({
  plan: pair,
  outcomes: gradedPanel(lines, { scale: 'impairment', open: 'a' }),
});
const codes = ['417', '502', '638'];
const sent = (...grades: [place: number, value: number][]) => ({
  grades: grades.map(([place, value]) => ({ place, scale: 'impairment', value })),
  ticks: [],
});

export const smallImpairments: Clauses = {
  plan,
  answers: [
    {
      codes,
      presented: 'aba',
      sent: sent([3, 50], [2, 43]),
      scored: [
        { scale: 'impairment', place: 1, value: 4.3, late: false },
        { scale: 'impairment', place: 2, value: 5, late: false },
      ],
    },
    {
      codes,
      presented: 'aac',
      sent: sent([2, 10], [3, 11]),
      scored: [
        { scale: 'impairment', place: 1, value: 1, late: false },
        { scale: 'impairment', place: 2, value: 1.1, late: false },
      ],
    },
  ],
  refused: [
    { codes, sent: { picked: '417' } },
    { codes, sent: sent() },
    { codes, sent: sent([2, 43]) },
    { codes, sent: sent([1, 50], [2, 43]) },
    { codes, sent: sent([2, 43], [3, 51]) },
    { codes, sent: sent([2, 9], [3, 50]) },
    { codes, sent: sent([2, 4.3], [3, 50]) },
    { codes, sent: sent([2, 43], [2, 50]) },
  ],
  balanced: {
    positions: [1, 2],
    block: 1,
    oftener: true,
  },
  guessing: { notApplicable: 'no rating is right or wrong' },
  careless: { notApplicable: 'a rating has no level of chance; who has no tastes rates the middle' },
  verdicts: {
    'difference-shown': study(
      'a5.0 b4.3 / b4.1 a5.0',
      'b4.4 a5.0 / a5.0 b3.9',
      'a5.0 b4.5 / b4.4 a4.9',
      'a5.0 b4.8 / b4.0 a5.0',
      'b4.1 a5.0 / a5.0 b4.6',
      'a5.0 b4.4 / b4.7 a5.0',
    ),
    'similarity-shown': { notApplicable: 'likeness to within a margin is called not separated' },
    preferred: { notApplicable: 'the verdict is about a scale, which need not say what is better' },
    'not-separated': study(
      'a5.0 b5.0 / b4.8 a5.0',
      'b5.0 a4.9 / a5.0 b4.9',
      'a5.0 b5.0 / b5.0 a5.0',
      'a4.8 b5.0 / b5.0 a5.0',
      'b4.9 a5.0 / a5.0 b4.9',
      'a5.0 b4.9 / b5.0 a4.9',
    ),
    undecided: study(
      'a5.0 b4.0 / b3.0 a5.0',
      'b5.0 a3.9 / a4.2 b5.0',
      'a5.0 b5.0 / b4.0 a5.0',
      'a4.1 b5.0 / b5.0 a4.4',
      'b3.0 a5.0 / a5.0 b3.1',
      'a5.0 b4.9 / b5.0 a4.0',
    ),
    // A grade of the one without the other has nothing to be held against.
    'not-enough-data': study('a5.0 b4.0 / b3.0 a5.0', 'b5.0 a3.9 / a4.2 b5.0', 'b4.0', 'a5.0'),
  },
};
