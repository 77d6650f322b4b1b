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
  fault(
    'psychometric-fit: lapses forgotten',
    'stats/psychometric-curve.ts',
    [['this.#span = 1 - guess - lapse', 'this.#span = 1 - guess']],
    'stats/psychometric-fit',
  ),
  fault(
    'psychometric-fit: the threshold’s error from that of the intercept alone',
    'stats/psychometric-curve.ts',
    [['(bb - 2 * at * ab + at * at * aa) / determinant', 'bb / determinant']],
    'stats/psychometric-fit',
  ),
  fault(
    'psychometric-fit: the last peak taken for the highest',
    'stats/psychometric-curve.ts',
    [['(next.lost < best.lost ? next : best)', 'next ?? best']],
    'stats/psychometric-fit',
  ),
  fault(
    'psychometric-fit: a step passed off as a slope',
    'stats/psychometric-fit.ts',
    [['if (step.lost <= best.lost + slack) {', 'if (step.lost < 0) {']],
    'stats/psychometric-fit',
  ),
];
