import { aPlan } from '../../blinding/a-plan';
import { gradedPanel } from '../graded';
import type { Clauses } from './clauses';

const plan = aPlan({ method: 'absolute-rating', prototypes: 3, rounds: 2, audiences: [['home', 12]] });
const two = aPlan({ method: 'absolute-rating', rounds: 2, audiences: [['home', 6]] });
const study = (...lines: string[]) => ({ plan: two, outcomes: gradedPanel(lines) });
const codes = ['417'];
const sent = (...values: number[]) => ({
  grades: values.map((value) => ({ place: 1, scale: 'quality', value })),
  ticks: [],
});

export const absoluteRating: Clauses = {
  plan,
  answers: [1, 5].map((value) => ({
    codes,
    presented: 'b',
    sent: sent(value),
    scored: [{ scale: 'quality', place: 0, value, late: false }],
  })),
  refused: [
    { codes, sent: { picked: '417' } },
    ...[[], [0], [6], [3.5], [3, 3]].map((values) => ({ codes, sent: sent(...values) })),
    { codes, sent: { grades: [{ place: 2, scale: 'quality', value: 3 }], ticks: [] } },
    { codes, sent: { grades: [{ place: 1, scale: 'liking', value: 3 }], ticks: [] } },
  ],
  balanced: { positions: [0], block: 12 },
  guessing: { notApplicable: 'no rating is right or wrong' },
  careless: { notApplicable: 'a rating has no level of chance; who has no tastes rates the middle' },
  verdicts: {
    'difference-shown': study('a5 / b3', 'b2 / a4', 'a5 / b3', 'b2 / a3', 'a4 / b2', 'b4 / a5'),
    'similarity-shown': { notApplicable: 'likeness to within a margin is called not separated' },
    preferred: { notApplicable: 'the verdict is about a scale, which need not say what is better' },
    'not-separated': study(
      'a4 / b4 / b4 / a4',
      'b5 / a5',
      'a3 / b3 / a4 / b3',
      'b2 / a2',
      'a4 / b4',
      'b3 / a3 / b3 / a3',
    ),
    undecided: study('a5 / b2', 'b4 / a2', 'a5 / b3', 'b3 / a3', 'a2 / b4', 'b4 / a5'),
    'not-enough-data': study('a5 / b3', 'b2 / a4', 'a5'),
  },
};
