import { aPlan } from '../../blinding/a-plan';
import { matched } from '../simulated-study';
import type { Clauses } from './clauses';

const plan = aPlan({ method: 'two-out-of-five', trials: 6, units: 2 });
const panel = (...lines: string[]) => ({ plan, outcomes: lines.flatMap((line, i) => matched(`L${i + 1}`, line)) });
const preference = { notApplicable: 'a difference method says nothing about which one is better' } as const;
const scored = (value: 0 | 1) => [{ scale: null, value, late: false }];
const codes = ['417', '502', '638', '259', '746'];

export const twoOutOfFive: Clauses = {
  plan,
  answers: [
    { codes, presented: 'aabbb', sent: { picked: '1+2' }, scored: scored(1) },
    { codes, presented: 'aabbb', sent: { picked: '1+3' }, scored: scored(0) },
    { codes, presented: 'aabbb', sent: { picked: '1+4' }, scored: scored(0) },
    { codes, presented: 'aabbb', sent: { picked: '1+5' }, scored: scored(0) },
    { codes, presented: 'aabbb', sent: { picked: '2+3' }, scored: scored(0) },
    { codes, presented: 'aabbb', sent: { picked: '2+4' }, scored: scored(0) },
    { codes, presented: 'aabbb', sent: { picked: '2+5' }, scored: scored(0) },
    { codes, presented: 'aabbb', sent: { picked: '3+4' }, scored: scored(0) },
    { codes, presented: 'aabbb', sent: { picked: '3+5' }, scored: scored(0) },
    { codes, presented: 'aabbb', sent: { picked: '4+5' }, scored: scored(0) },
    { codes, presented: 'aaabb', sent: { picked: '1+2' }, scored: scored(0) },
    { codes, presented: 'aaabb', sent: { picked: '4+5' }, scored: scored(1) },
    { codes, presented: 'babab', sent: { picked: '2+4' }, scored: scored(1) },
    { codes, presented: 'ababa', sent: { picked: '2+4' }, scored: scored(1) },
    { codes, presented: 'ababa', sent: { picked: '1+3' }, scored: scored(0) },
  ],
  refused: [
    ...['417', '1', '2+1', '1+1', '1+6', '0+1', '1+2+3', 'none', '', '1,2'].map((picked) => ({
      codes,
      sent: { picked },
    })),
    { codes, sent: { ratings: [{ scale: 'liking', value: 1, touchedMs: 0 }] } },
  ],
  balanced: {
    positions: [0, 1, 2, 3, 4],
    block: 60,
    of: aPlan({ method: 'two-out-of-five', trials: 1, audiences: [['home', 60]] }),
  },
  guessing: {
    equallyLikely: [
      'aabbb',
      'ababb',
      'abbab',
      'abbba',
      'baabb',
      'babab',
      'babba',
      'bbaab',
      'bbaba',
      'bbbaa',
      'bbaaa',
      'babaa',
      'baaba',
      'baaab',
      'abbaa',
      'ababa',
      'abaab',
      'aabba',
      'aabab',
      'aaabb',
    ],
    right: ([one]) => one?.value === 1,
  },
  careless: { gives: ([one]) => one?.value === 1, probability: 1 / 10 },
  verdicts: {
    'difference-shown': panel('++-+--', '+-+---', '--+--+', '-+----'),
    'similarity-shown': { notApplicable: 'so seldom right by guessing, it is for differences only' },
    preferred: preference,
    'not-separated': preference,
    undecided: panel('+-----', '------', '--+---', '------'),
    'not-enough-data': panel('+'),
  },
};
