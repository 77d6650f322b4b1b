import { aPlan } from '../../blinding/a-plan';
import { matched } from '../simulated-study';
import type { Clauses } from './clauses';

const plan = aPlan({ method: 'abx', trials: 6, units: 2 });
const alike = aPlan({ method: 'abx', aim: 'similarity', trials: 6, units: 2 });
const panel = (...lines: string[]) => ({ plan, outcomes: lines.flatMap((line, i) => matched(`L${i + 1}`, line)) });
const preference = { notApplicable: 'a difference method says nothing about which one is better' } as const;
const right = [{ scale: null, value: 1, late: false }];
const wrong = [{ scale: null, value: 0, late: false }];
/** The third sample comes in a carrier of its own, or keeps the code of its twin. */
const fresh = ['417', '502', '638'];
const day = (third: 0 | 1) => ['417', '502', ['417', '502'][third] as string];

export const abx: Clauses = {
  plan,
  answers: [
    { codes: fresh, presented: 'aba', sent: { picked: '417' }, scored: right },
    { codes: fresh, presented: 'aba', sent: { picked: '502' }, scored: wrong },
    { codes: fresh, presented: 'abb', sent: { picked: '417' }, scored: wrong },
    { codes: fresh, presented: 'abb', sent: { picked: '502' }, scored: right },
    { codes: fresh, presented: 'bab', sent: { picked: '417' }, scored: right },
    { codes: fresh, presented: 'baa', sent: { picked: '417' }, scored: wrong },
    { codes: day(0), presented: 'aba', sent: { picked: '417' }, scored: right },
    { codes: day(1), presented: 'abb', sent: { picked: '417' }, scored: wrong },
    { codes: day(1), presented: 'abb', sent: { picked: '502' }, scored: right },
  ],
  refused: [
    ...['638', 'none', '', '418', '417,502'].map((picked) => ({ codes: fresh, sent: { picked } })),
    { codes: fresh, sent: { ratings: [{ scale: 'liking', value: 1, touchedMs: 0 }] } },
  ],
  // The third is drawn by itself, or it could be reckoned from the others.
  balanced: { positions: [0, 1], block: 1 },
  guessing: { equallyLikely: ['aba', 'abb'], right: ([scored]) => scored?.value === 1 },
  careless: { gives: ([scored]) => scored?.value === 1, probability: 1 / 2 },
  verdicts: {
    'difference-shown': panel('++++++', '+++++-', '++++-+', '+++-++'),
    'similarity-shown': {
      plan: alike,
      outcomes: Array.from({ length: 12 }, (_, i) => matched(`L${i}`, '+--+-+')).flat(),
    },
    preferred: preference,
    'not-separated': preference,
    undecided: panel('+-+-+-', '++--++', '+-+-++', '-+-+-+'),
    'not-enough-data': panel('++++'),
  },
};
