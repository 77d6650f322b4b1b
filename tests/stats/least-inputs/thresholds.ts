import type { LeastInputs } from './least-input';

export const thresholds: LeastInputs = {
  staircase: { input: { rule: { down: 2, up: 1 }, steps: [1], start: 0, answers: [] }, spoil: 'discard' },
};
