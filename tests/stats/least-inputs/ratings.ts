import type { LeastInputs } from './least-input';

export const ratings: LeastInputs = {
  'adjust-p': { input: { p: [0.01, 0.04] }, spoil: 'p' },
};
