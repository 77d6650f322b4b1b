import { aPlan } from '../../blinding/a-plan';
import { gradedPanel } from '../graded';
import type { Clauses } from './clauses';

const plan = aPlan({ method: 'reference-and-anchors', prototypes: 3, trials: 2 });
const pair = aPlan({ method: 'reference-and-anchors', prototypes: 3, primary: [1, 2], audiences: [['home', 6]] });
const study = (...lines: string[]) => ({ plan: pair, outcomes: gradedPanel(lines, { open: 'a' }) });
const codes = ['417', '502', '638', '729'];
const sent = (...grades: [place: number, value: number][]) => ({
  grades: grades.map(([place, value]) => ({ place, scale: 'quality', value })),
  ticks: [],
});

export const referenceAndAnchors: Clauses = {
  plan,
  answers: [
    {
      // The open reference is not graded.
      codes,
      presented: 'acab',
      sent: sent([2, 0], [4, 37], [3, 100]),
      scored: [
        { scale: 'quality', place: 1, value: 0, late: false },
        { scale: 'quality', place: 2, value: 100, late: false },
        { scale: 'quality', place: 3, value: 37, late: false },
      ],
    },
  ],
  refused: [
    { codes, sent: { picked: '417' } },
    { codes, sent: sent() },
    { codes, sent: sent([2, 0], [3, 100]) },
    { codes, sent: sent([1, 0], [2, 0], [3, 100]) },
    { codes, sent: sent([1, 100], [2, 0], [3, 100], [4, 37]) },
    { codes, sent: sent([2, -1], [3, 100], [4, 37]) },
    { codes, sent: sent([2, 0], [3, 101], [4, 37]) },
    { codes, sent: sent([2, 0], [3, 100], [4, 37.5]) },
    { codes, sent: sent([2, 0], [2, 0], [4, 37]) },
  ],
  balanced: {
    positions: [1, 2, 3],
    block: 12,
    of: aPlan({ method: 'reference-and-anchors', prototypes: 3, trials: 2, audiences: [['home', 12]] }),
  },
  guessing: { notApplicable: 'no rating is right or wrong' },
  careless: { notApplicable: 'a rating has no level of chance; who has no tastes rates the middle' },
  verdicts: {
    'difference-shown': study('a95 b60 c40', 'b55 a90 c30', 'c45 b70 a99', 'a91 c20 b52', 'c50 a92 b66', 'b80 c44 a97'),
    'similarity-shown': { notApplicable: 'likeness to within a margin is called not separated' },
    preferred: { notApplicable: 'the verdict is about a scale, which need not say what is better' },
    'not-separated': study('a95 b60 c62', 'b55 a90 c54', 'c69 b70 a99', 'a91 c53 b52', 'c66 a92 b66', 'b80 c79 a97'),
    undecided: study('a95 b60 c20', 'b25 a90 c64', 'c49 b70 a99', 'a91 c83 b52', 'c36 a92 b66', 'b80 c79 a97'),
    'not-enough-data': study('a95 b60 c20', 'b25 a90 c64', 'a80 b60'),
  },
};
