import type { LeastInputs } from './least-input';

export const sequential: LeastInputs = {
  sprt: { input: { p0: 0.5, p1: 0.75, outcomes: [] }, spoil: 'p1' },
  'always-valid': { input: { p0: 0.5, outcomes: [] }, spoil: 'alternative' },
  peeking: { input: { first: 1, last: 1 }, spoil: 'last' },
};
