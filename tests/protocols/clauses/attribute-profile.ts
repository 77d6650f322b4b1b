import { aPlan } from '../../blinding/a-plan';
import { panel } from '../rated';
import type { Clauses } from './clauses';

const plan = aPlan({
  method: 'attribute-profile',
  prototypes: 3,
  hiddenRepeats: 1,
  rounds: 2,
  audiences: [['home', 12]],
});
const two = aPlan({ method: 'attribute-profile', scales: ['bass'], audiences: [['home', 6]] });
const study = (...lines: string[]) => ({ plan: two, outcomes: panel(lines, 'home', 'bass') });
const codes = ['417'];
const sent = (...grades: [scale: string, value: number, place?: number][]) => ({
  grades: grades.map(([scale, value, place = 1]) => ({ place, scale, value })),
  ticks: [],
});

export const attributeProfile: Clauses = {
  plan,
  answers: [
    {
      codes,
      presented: 'b',
      sent: sent(['bass', 7], ['brightness', -3]),
      scored: [
        { scale: 'brightness', place: 0, value: -3, late: false },
        { scale: 'bass', place: 0, value: 7, late: false },
      ],
    },
  ],
  refused: [
    { codes, sent: { picked: '417' } },
    { codes, sent: sent() },
    { codes, sent: sent(['bass', 4]) },
    { codes, sent: sent(['bass', 4], ['bass', 4]) },
    { codes, sent: sent(['bass', 4], ['brightness', 0], ['brightness', 0]) },
    { codes, sent: sent(['bass', 4], ['brightness', 4]) },
    { codes, sent: sent(['bass', 0], ['brightness', 0]) },
    { codes, sent: sent(['bass', 4], ['warmth', 0]) },
    { codes, sent: sent(['bass', 4], ['brightness', 0, 2]) },
    { codes, sent: sent(['bass', 4], ['brightness', 0.5]) },
    { codes, sent: { ...sent(['bass', 4], ['brightness', 0]), ticks: [{ place: 1, attributes: [] }] } },
  ],
  balanced: { positions: [0], block: 12 },
  guessing: { notApplicable: 'no rating is right or wrong' },
  careless: { notApplicable: 'a rating has no level of chance; who has no tastes rates the middle' },
  verdicts: {
    'difference-shown': study('a7 b5', 'a6 b4', 'a7 b4', 'a5 b3', 'a6 b3', 'a7 b6'),
    'similarity-shown': { notApplicable: 'likeness to within a margin is called not separated' },
    preferred: { notApplicable: 'the verdict is about a scale, which need not say what is better' },
    'not-separated': study('a5 b5', 'a6 b6', 'a4 b5', 'a5 b4', 'a6 b6', 'a7 b7'),
    undecided: study('a7 b3', 'a2 b5', 'a7 b4', 'a5 b5', 'a3 b5', 'a7 b6'),
    'not-enough-data': study('a7 b5', 'a6 b3', 'a5'),
  },
};
