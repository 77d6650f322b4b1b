import { fault } from '../fault.mjs';

export const thresholds = [
  fault(
    'staircase: a move leaves the count running',
    'stats/staircase.ts',
    [['    [right, wrong] = [0, 0];\n    if (direction', '    if (direction']],
    'stats/staircase',
  ),
  fault(
    'staircase: the first move taken for a reversal',
    'stats/staircase.ts',
    [['if (direction !== null && direction !== move)', 'if (direction !== move)']],
    'stats/staircase',
  ),
  fault(
    'staircase: an odd number of reversals averaged',
    'stats/staircase.ts',
    [['reversals.slice(reversals.length % 2)', 'reversals.slice(0)']],
    'stats/staircase',
  ),
  fault(
    'staircase: weights of up and down exchanged in what it aims at',
    'stats/staircase-target.ts',
    [['(weights.up / total) ** (1 / down)', '(weights.down / total) ** (1 / down)']],
    'stats/staircase-target',
    'stats/staircase',
  ),
  fault(
    'staircase: a count of wrong answers one off in what it aims at',
    'stats/staircase-target.ts',
    [['- (up - 1) * logQ', '- up * logQ']],
    'stats/staircase-target',
  ),
];
