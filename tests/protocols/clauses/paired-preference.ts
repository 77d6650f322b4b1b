import { aPlan } from '../../blinding/a-plan';
import { said } from '../simulated-study';
import type { Clauses } from './clauses';

const two = aPlan();
const panel = (counts: [words: string, listeners: number][]) => ({
  plan: two,
  outcomes: counts.flatMap(([line, many], i) =>
    Array.from({ length: many }, (_, n) => said(`L${i}-${n}`, line)).flat(),
  ),
});
const difference = { notApplicable: 'a preference method says nothing about whether a difference is heard' } as const;
const codes = ['417', '502'];
const score = (value: number) => [{ scale: null, value, late: false }];

export const pairedPreference: Clauses = {
  plan: aPlan({ prototypes: 3, repeats: 2, noPreference: { offered: true, rule: 'split' } }),
  answers: [
    { codes, presented: 'ab', sent: { picked: '417' }, scored: score(1) },
    { codes, presented: 'ab', sent: { picked: '502' }, scored: score(-1) },
    { codes, presented: 'ab', sent: { picked: 'none' }, scored: score(0) },
  ],
  refused: [
    ...['', '418', 'both', '417,502', 'None'].map((picked) => ({ codes, sent: { picked } })),
    { codes, sent: { ratings: [{ scale: 'liking', value: 1, touchedMs: 0 }] } },
    { codes, sent: { ratings: [] } },
  ],
  balanced: { positions: [0, 1], block: 1 },
  guessing: { notApplicable: 'no preference is right or wrong' },
  careless: { gives: ([scored]) => scored?.value === 1, probability: 1 / 2 },
  verdicts: {
    'difference-shown': difference,
    'similarity-shown': difference,
    preferred: panel([['ab+ ba-', 8]]),
    'not-separated': panel([['ab+ ba+', 60]]),
    undecided: panel([
      ['ab+ ba-', 5],
      ['ab- ba+', 3],
    ]),
    'not-enough-data': panel([['ab+ ba-', 5]]),
  },
};
