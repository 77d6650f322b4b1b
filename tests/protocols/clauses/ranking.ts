import { aPlan } from '../../blinding/a-plan';
import { panelOf } from '../ranked';
import type { Clauses } from './clauses';

const plan = aPlan({ method: 'ranking', prototypes: 3, spec: { size: 3, rankings: 2, predicted: false } });
const study = (...counts: [words: string, listeners: number][]) => ({ plan, outcomes: panelOf(counts) });
const difference = { notApplicable: 'a preference method says nothing about whether a difference is heard' } as const;
const codes = ['417', '502', '638'];
const ranks = (...values: number[]) => values.map((value, place) => ({ scale: null, place, value, late: false }));

export const ranking: Clauses = {
  plan,
  answers: [
    { codes, presented: 'abc', sent: { picked: '417>502>638' }, scored: ranks(1, 2, 3) },
    { codes, presented: 'abc', sent: { picked: '638>417>502' }, scored: ranks(2, 3, 1) },
    { codes, presented: 'cab', sent: { picked: '502>417>638' }, scored: ranks(2, 1, 3) },
  ],
  refused: [
    ...['', '417', '417>502', '417>502>502', '417>502>639', '417>502>638>417', '1>2>3', '417, 502, 638', 'none'].map(
      (picked) => ({ codes, sent: { picked } }),
    ),
    { codes, sent: { ratings: [] } },
  ],
  balanced: {
    positions: [0, 1, 2],
    block: 12,
    of: aPlan({
      method: 'ranking',
      prototypes: 3,
      spec: { size: 3, rankings: 2, predicted: false },
      audiences: [['home', 12]],
    }),
  },
  guessing: { notApplicable: 'no order is right or wrong' },
  careless: { gives: (scored) => scored[0]?.value === 1, probability: 1 / 3 },
  verdicts: {
    'difference-shown': difference,
    'similarity-shown': difference,
    preferred: study(['abc abc', 8]),
    'not-separated': study(['abc cba', 60]),
    undecided: study(['abc abc', 5], ['cab bca', 4]),
    // Half of α is for the primary pair, and six of one mind come to p = 2/2^6 = 0.03.
    'not-enough-data': study(['abc abc', 6]),
  },
};
