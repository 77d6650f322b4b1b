import { aPlan } from '../../blinding/a-plan';
import { panel } from '../rated';
import type { Clauses } from './clauses';

const plan = aPlan({
  method: 'just-about-right',
  prototypes: 3,
  hiddenRepeats: 1,
  attributes: ['bass'],
  audiences: [['home', 12]],
});
const two = aPlan({ method: 'just-about-right', audiences: [['home', 6]] });
const study = (...lines: string[]) => ({ plan: two, outcomes: panel(lines) });
const codes = ['417'];
const sent = (...grades: [scale: string, value: number, place?: number][]) => ({
  grades: grades.map(([scale, value, place = 1]) => ({ place, scale, value })),
  ticks: [],
});

export const justAboutRight: Clauses = {
  plan,
  answers: [
    {
      codes,
      presented: 'c',
      sent: sent(['bass', -2], ['liking', 4]),
      scored: [
        { scale: 'liking', place: 0, value: 4, late: false },
        { scale: 'bass', place: 0, value: -2, late: false },
      ],
    },
    {
      codes,
      presented: 'a',
      sent: sent(['liking', -4], ['bass', 0]),
      scored: [
        { scale: 'liking', place: 0, value: -4, late: false },
        { scale: 'bass', place: 0, value: 0, late: false },
      ],
    },
  ],
  refused: [
    { codes, sent: { picked: '417' } },
    { codes, sent: sent() },
    { codes, sent: sent(['liking', 0]) },
    { codes, sent: sent(['liking', 5], ['bass', 0]) },
    { codes, sent: sent(['liking', 0], ['bass', 3]) },
    { codes, sent: sent(['liking', 0], ['bass', -3]) },
    { codes, sent: sent(['liking', 0], ['bass', 0, 2]) },
    { codes, sent: sent(['liking', 0], ['treble', 0]) },
    { codes, sent: { ...sent(['liking', 0], ['bass', 0]), ticks: [{ place: 1, attributes: ['bass'] }] } },
  ],
  balanced: { positions: [0], block: 12 },
  guessing: { notApplicable: 'no rating is right or wrong' },
  careless: { notApplicable: 'a rating has no level of chance; who has no tastes rates the middle' },
  verdicts: {
    'difference-shown': study('a3 b1', 'a2 b0', 'a3 b0', 'a1 b-1', 'a2 b-1', 'a3 b2'),
    'similarity-shown': { notApplicable: 'likeness to within a margin is called not separated' },
    preferred: { notApplicable: 'the verdict is about a scale, which need not say what is better' },
    'not-separated': study('a1 b1', 'a2 b2', 'a0 b1', 'a1 b0', 'a2 b2', 'a3 b3'),
    undecided: study('a3 b-1', 'a-2 b1', 'a3 b0', 'a1 b1', 'a-1 b1', 'a3 b2'),
    'not-enough-data': study('a3 b1', 'a2 b-1', 'a1'),
  },
};
