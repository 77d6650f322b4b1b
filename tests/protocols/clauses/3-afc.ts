import { aPlan } from '../../blinding/a-plan';
import { matched } from '../simulated-study';
import type { Clauses } from './clauses';

const plan = aPlan({ method: '3-afc', trials: 6, units: 2 });
const alike = aPlan({ method: '3-afc', aim: 'similarity', trials: 6, units: 2 });
const panel = (...lines: string[]) => ({ plan, outcomes: lines.flatMap((line, i) => matched(`L${i + 1}`, line)) });
const preference = { notApplicable: 'a difference method says nothing about which one is better' } as const;
const scored = (value: 0 | 1) => [{ scale: null, value, late: false }];
const codes = ['417', '502', '638'];

export const threeAfc: Clauses = {
  plan,
  answers: [
    { codes, presented: 'abb', sent: { picked: '1' }, scored: scored(1) },
    { codes, presented: 'abb', sent: { picked: '2' }, scored: scored(0) },
    { codes, presented: 'abb', sent: { picked: '3' }, scored: scored(0) },
    { codes, presented: 'bab', sent: { picked: '1' }, scored: scored(0) },
    { codes, presented: 'bab', sent: { picked: '2' }, scored: scored(1) },
    { codes, presented: 'bab', sent: { picked: '3' }, scored: scored(0) },
    { codes, presented: 'bba', sent: { picked: '1' }, scored: scored(0) },
    { codes, presented: 'bba', sent: { picked: '2' }, scored: scored(0) },
    { codes, presented: 'bba', sent: { picked: '3' }, scored: scored(1) },
  ],
  refused: [
    ...['417', '0', '4', 'none', '', '1+2', '1 '].map((picked) => ({ codes, sent: { picked } })),
    { codes, sent: { ratings: [{ scale: 'liking', value: 1, touchedMs: 0 }] } },
  ],
  balanced: {
    positions: [0, 1, 2],
    block: 60,
    of: aPlan({ method: '3-afc', trials: 1, audiences: [['home', 60]] }),
    oftener: true,
  },
  guessing: {
    equallyLikely: ['abb', 'bab', 'bba'],
    right: ([one]) => one?.value === 1,
  },
  careless: { gives: ([one]) => one?.value === 1, probability: 1 / 3 },
  verdicts: {
    'difference-shown': panel('++++-+', '++++--', '+++-+-', '+++-+-'),
    'similarity-shown': {
      plan: alike,
      outcomes: Array.from({ length: 12 }, (_, i) => matched(`L${i}`, '+----+')).flat(),
    },
    preferred: preference,
    'not-separated': preference,
    undecided: panel('+--+--', '--+--+', '+--+--', '-+---+'),
    'not-enough-data': panel('++'),
  },
};
