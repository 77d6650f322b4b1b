import type { LeastInputs } from './least-input';

export const thresholds: LeastInputs = {
  staircase: { input: { rule: { down: 2, up: 1 }, steps: [1], start: 0, answers: [] }, spoil: 'discard' },
  'psychometric-fit': {
    input: { levels: [1, 2], correct: [3, 5], trials: [6, 6], guess: 0 },
    spoil: 'lapse',
  },
};
