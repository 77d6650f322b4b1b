import type { LeastInputs } from './least-input';

export const differences: LeastInputs = {
  'binomial-test': { input: { correct: 3, trials: 4 }, spoil: 'correct' },
  'proportion-interval': { input: { correct: 3, trials: 4 }, spoil: 'level' },
  'critical-count': { input: { trials: 12 }, spoil: 'alpha' },
  power: { input: { trials: 12, pd: 0.4 }, spoil: 'pd' },
  'sample-size': { input: { pd: 0.5 }, spoil: 'beta' },
  'd-prime': { input: { method: 'triangle', correct: 3, trials: 4 }, spoil: 'method' },
  'proportion-correct': { input: { method: 'duo-trio', dPrime: 1 }, spoil: 'dPrime' },
};
