import { fault } from '../fault.mjs';

export const sequential = [
  fault(
    'sprt: right and wrong answers weighed alike',
    'stats/sprt.ts',
    [['const whenWrong = Math.log((1 - p1) / (1 - p0))', 'const whenWrong = -whenRight']],
    'stats/sprt',
  ),
  fault(
    'sprt: strict bounds that are Wald’s',
    'stats/sprt.ts',
    [['strict ? -Math.log(alpha) : Math.log((1 - beta) / alpha)', 'Math.log((1 - beta) / alpha)']],
    'stats/sprt',
  ),
  fault(
    'always-valid: the cut prior not brought back to one',
    'stats/cut-mixture.ts',
    [['above(right, wrong, whole) - start', 'above(right, wrong, whole)']],
    'stats/always-valid',
  ),
  fault(
    'always-valid: the bet placed after the answer is known',
    'stats/confidence-sequence.ts',
    [
      [
        '(answer === 1 ? a + right : b + wrong) / (a + b + right + wrong)',
        '(answer === 1 ? a + right + 1 : b + wrong + 1) / (a + b + right + wrong + 1)',
      ],
    ],
    'stats/always-valid',
  ),
  fault(
    'always-valid: p of the last answer alone',
    'stats/always-valid.ts',
    [['p: Math.exp(-largest)', 'p: Math.min(1, Math.exp(-last))']],
    'stats/always-valid',
  ),
  fault(
    'peeking: who stopped at a look goes on being counted',
    'stats/peeking.ts',
    [['going[right] = 0;', '']],
    'stats/peeking',
  ),
];
