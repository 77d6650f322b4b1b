import { aPlan } from '../../blinding/a-plan';
import { panel } from '../rated';
import type { Clauses } from './clauses';

const plan = aPlan({
  method: 'check-all',
  prototypes: 3,
  hiddenRepeats: 1,
  attributes: ['warm', 'bright'],
  liked: true,
  audiences: [['home', 12]],
});
const two = aPlan({ method: 'check-all', audiences: [['home', 6]] });
/** So many listeners a line: who ticked the word for which. */
const study = (...counts: [number, string][]) => ({
  plan: two,
  outcomes: panel(
    counts.flatMap(([count, line]) => Array<string>(count).fill(line)),
    'home',
    'warm',
  ),
});
const codes = ['417'];
const grades = [{ place: 1, scale: 'liking', value: 3 }];
const sent = (...attributes: string[]) => ({ grades, ticks: [{ place: 1, attributes }] });
const scored = (warm: 0 | 1, bright: 0 | 1) => [
  { scale: 'liking', place: 0, value: 3, late: false },
  { scale: 'warm', place: 0, value: warm, late: false },
  { scale: 'bright', place: 0, value: bright, late: false },
];

export const checkAll: Clauses = {
  plan,
  answers: [
    { codes, presented: 'a', sent: sent(), scored: scored(0, 0) },
    { codes, presented: 'b', sent: sent('bright'), scored: scored(0, 1) },
    { codes, presented: 'c', sent: sent('bright', 'warm'), scored: scored(1, 1) },
  ],
  refused: [
    { codes, sent: { picked: 'warm' } },
    { codes, sent: { grades: [], ticks: [] } },
    { codes, sent: { grades, ticks: [] } },
    { codes, sent: { ...sent('warm'), grades: [] } },
    { codes, sent: sent('warm', 'warm') },
    { codes, sent: sent('harsh') },
    { codes, sent: { grades, ticks: [{ place: 2, attributes: ['warm'] }] } },
    { codes, sent: { grades, ticks: [...sent('warm').ticks, ...sent('warm').ticks] } },
  ],
  balanced: { positions: [0], block: 12 },
  guessing: { notApplicable: 'no rating is right or wrong' },
  careless: { gives: (all) => all.some(({ scale, value }) => scale === 'warm' && value === 1), probability: 0.5 },
  verdicts: {
    'difference-shown': study([6, 'a1 b0']),
    'similarity-shown': { notApplicable: 'likeness to within a margin is called not separated' },
    preferred: { notApplicable: 'the verdict is about a scale, which need not say what is better' },
    'not-separated': study([12, 'a1 b1'], [1, 'a1 b0'], [1, 'a0 b1'], [12, 'a0 b0']),
    undecided: study([4, 'a1 b0'], [1, 'a0 b1'], [2, 'a1 b1']),
    'not-enough-data': study([5, 'a1 b0'], [1, 'a1']),
  },
};
