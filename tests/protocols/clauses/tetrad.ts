import { aPlan } from '../../blinding/a-plan';
import { matched } from '../simulated-study';
import type { Clauses } from './clauses';

const plan = aPlan({ method: 'tetrad', trials: 6, units: 2 });
const alike = aPlan({ method: 'tetrad', aim: 'similarity', trials: 6, units: 2 });
const panel = (...lines: string[]) => ({ plan, outcomes: lines.flatMap((line, i) => matched(`L${i + 1}`, line)) });
const preference = { notApplicable: 'a difference method says nothing about which one is better' } as const;
const scored = (value: 0 | 1) => [{ scale: null, value, late: false }];
const codes = ['417', '502', '638', '259'];

export const tetrad: Clauses = {
  plan,
  answers: [
    { codes, presented: 'aabb', sent: { picked: '1+2' }, scored: scored(1) },
    { codes, presented: 'aabb', sent: { picked: '1+3' }, scored: scored(0) },
    { codes, presented: 'aabb', sent: { picked: '1+4' }, scored: scored(0) },
    { codes, presented: 'aabb', sent: { picked: '2+3' }, scored: scored(0) },
    { codes, presented: 'aabb', sent: { picked: '2+4' }, scored: scored(0) },
    { codes, presented: 'aabb', sent: { picked: '3+4' }, scored: scored(1) },
    { codes, presented: 'abab', sent: { picked: '1+2' }, scored: scored(0) },
    { codes, presented: 'abab', sent: { picked: '1+3' }, scored: scored(1) },
    { codes, presented: 'abab', sent: { picked: '1+4' }, scored: scored(0) },
    { codes, presented: 'abab', sent: { picked: '2+3' }, scored: scored(0) },
    { codes, presented: 'abab', sent: { picked: '2+4' }, scored: scored(1) },
    { codes, presented: 'abab', sent: { picked: '3+4' }, scored: scored(0) },
    { codes, presented: 'abba', sent: { picked: '1+2' }, scored: scored(0) },
    { codes, presented: 'abba', sent: { picked: '1+3' }, scored: scored(0) },
    { codes, presented: 'abba', sent: { picked: '1+4' }, scored: scored(1) },
    { codes, presented: 'abba', sent: { picked: '2+3' }, scored: scored(1) },
    { codes, presented: 'abba', sent: { picked: '2+4' }, scored: scored(0) },
    { codes, presented: 'abba', sent: { picked: '3+4' }, scored: scored(0) },
    { codes, presented: 'bbaa', sent: { picked: '1+2' }, scored: scored(1) },
    { codes, presented: 'bbaa', sent: { picked: '1+3' }, scored: scored(0) },
    { codes, presented: 'baba', sent: { picked: '2+4' }, scored: scored(1) },
    { codes, presented: 'baab', sent: { picked: '2+3' }, scored: scored(1) },
  ],
  refused: [
    ...['417', '1', '2+1', '1+1', '1+5', '0+1', '1+2+3', 'none', '', '1,2'].map((picked) => ({
      codes,
      sent: { picked },
    })),
    { codes, sent: { ratings: [{ scale: 'liking', value: 1, touchedMs: 0 }] } },
  ],
  balanced: {
    positions: [0, 1, 2, 3],
    block: 60,
    of: aPlan({ method: 'tetrad', trials: 1, audiences: [['home', 60]] }),
  },
  guessing: {
    equallyLikely: ['aabb', 'abab', 'abba', 'bbaa', 'baba', 'baab'],
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
