import { aPlan } from '../../blinding/a-plan';
import { gradedPanel } from '../graded';
import type { Clauses } from './clauses';

const plan = aPlan({ method: 'comparison-rating', prototypes: 3, controls: { identicalPairs: 1 } });
const two = aPlan({ method: 'comparison-rating', audiences: [['home', 6]] });
const study = (...lines: string[]) => ({ plan: two, outcomes: gradedPanel(lines, { scale: 'comparison' }) });
const codes = ['417', '502'];
const sent = (...grades: [place: number, value: number][]) => ({
  grades: grades.map(([place, value]) => ({ place, scale: 'comparison', value })),
  ticks: [],
});

export const comparisonRating: Clauses = {
  plan,
  answers: [-3, 0, 3].map((value) => ({
    codes,
    presented: 'ca',
    sent: sent([2, value]),
    // As it was said: the second beside the first.
    scored: [{ scale: 'comparison', place: 1, value, late: false }],
  })),
  refused: [
    { codes, sent: { picked: '417' } },
    { codes, sent: sent() },
    { codes, sent: sent([1, 2]) },
    { codes, sent: sent([1, 2], [2, 2]) },
    { codes, sent: sent([2, 4]) },
    { codes, sent: sent([2, -4]) },
    { codes, sent: sent([2, 0.5]) },
    { codes, sent: sent([2, 1], [2, 1]) },
  ],
  balanced: { positions: [0, 1], block: 1 },
  guessing: { notApplicable: 'no rating is right or wrong' },
  careless: { notApplicable: 'a rating has no level of chance; who has no tastes rates the middle' },
  verdicts: {
    // The second of a trial is graded, so that `a b-2` says that a is better by two.
    'difference-shown': study(
      'a b-2 / b a1',
      'b a2 / a b-1',
      'a b-3 / b a2',
      'b a1 / a b0',
      'a b-2 / b a3',
      'b a1 / a b-1',
    ),
    'similarity-shown': { notApplicable: 'likeness to within a margin is called not separated' },
    preferred: { notApplicable: 'the verdict is about a scale, which need not say what is better' },
    'not-separated': study('a b1 / b a1', 'b a0 / a b0', 'a b-1 / b a0', 'b a1 / a b2', 'a b0 / b a0', 'b a-1 / a b-1'),
    undecided: study('a b-3 / b a3', 'b a-2 / a b3', 'a b-3 / b a0', 'b a1 / a b2', 'a b2 / b a-3', 'b a2 / a b-1'),
    // A pair that was heard the one way round only.
    'not-enough-data': study('a b-2 / b a1', 'b a2 / a b-1', 'a b-3', 'b a1'),
  },
};
